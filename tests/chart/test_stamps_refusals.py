"""What cannot be read as a time is refused by its line; what can be read two ways is asked."""

import pytest
from stamps_kit import read

from traveler.chart.model import Told
from traveler.chart.times.stamps import settle_time
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput

GOOD = ["2026-03-01 08:00:00", "2026-03-01 08:00:10"]

REFUSED = [
    ([*GOOD, "2026-03-01 08:00"], "it has fewer numbers than other rows"),
    ([*GOOD, "2026-03-01"], "it has fewer numbers than other rows"),
    ([*GOOD, "08:00:20"], "it has no date"),
    ([*GOOD, ""], "line 4: there is no time; expected date and time"),
    ([*GOOD, "2026-03-01 08:60:00"], "60 minutes are more than 59"),
    ([*GOOD, "2026-03-01 08:00:60"], "60 seconds are more than 59"),
    ([*GOOD, "2026-03-01 24:00:00"], "a day has no hour 24"),
    ([*GOOD, "2026-02-30 08:00:00"], "there is no day 30 of month 2 in 2026"),
    ([*GOOD, "1899-12-30 08:00:00"], "the year 1899 is not one from 1970 to 2099"),
    ([*GOOD, "01.03.2026 08:00:20"], "its date is in another order"),
    ([*GOOD, "2026-03-01 08:00:20 PM"], "AM or PM stands here, and not on other rows"),
    ([*GOOD, "2026-03-01 08:00:20Z"], "it is no time of that form"),
    ([*GOOD, "2026-03-01 08:00:2"], "it is no time of that form"),
    ([*GOOD, "2026-03-01 08:00:20."], "it is no time of that form"),
    ([*GOOD, "2026-03-01 08:00:２０"], "it is no time of that form"),
    ([*GOOD, "2026-03-01 08:00:20 x"], "it is no time of that form"),
    ([*GOOD, "2026-03-01\n08:00:20"], "it has no date|it is no time of that form"),
    ([*GOOD, "Average"], "it has fewer numbers than other rows"),
    (["2026-03-01T08:00:00Z", "2026-03-01T08:00:10Z", "2026-03-01T08:00:20"], "the offset is missing"),
    (["2026-03-01T08:00:00Z", "2026-03-01T08:00:10Z", "2026-03-01T08:00:20+24:00"], "no offset of 24 hours"),
    (
        ["03/13/2026 08:00:00 AM", "03/13/2026 08:00:10", "03/13/2026 08:00:20"],
        "line 3: .*AM or PM is missing",
    ),
    (
        ["03/13/2026 08:00:00", "03/13/2026 01:00:00 PM", "03/13/2026 01:00:10 PM"],
        "line 2: .*AM or PM is missing",
    ),
    (
        ["03/13/2026 08:00 AM", "03/13/2026 08:01 AM", "03/13/2026 13:00 PM"],
        "a clock with AM and PM has no hour 13",
    ),
    (
        ["03/13/2026 08:00 AM", "03/13/2026 08:01 AM", "03/13/2026 00:02 AM"],
        "a clock with AM and PM has no hour 0",
    ),
    (["01-Mar-26 08:00:00", "01-Mar-26 08:00:10", "01-Foo-26 08:00:20"], "Foo is not the name of a month"),
]


@pytest.mark.parametrize(("rows", "sentence"), REFUSED)
def test_a_stamp_that_cannot_be_read_is_named_with_its_line(rows: list[str], sentence: str) -> None:
    line = sentence.split(":")[0] if sentence.startswith("line") else "line 4"
    with pytest.raises(BadInput, match=sentence) as caught:
        read(rows)
    assert str(caught.value).startswith(f"{line}: ")
    assert "; expected date and time" in str(caught.value)


OTHERS = [
    (["08:00:00", "08:00:10", "2026-03-01 08:00:20"], "Time", "line 4: .*it has a date"),
    (["00:00", "00:10", "1:00:20"], "Time (mm:ss)", "line 4: .*it has three numbers, other rows have two"),
    (
        ["0", "10", "1e3"],
        "Time (s)",
        "line 4: the time .1e3. cannot be read: it is no plain number; expected elapsed seconds such as 12.5",
    ),
    (
        ["0", "10", "5"],
        "Time (s)",
        "line 4: the time runs backward, 5 after 10; expected times that rise from row to row",
    ),
    (
        ["08:00:10", "08:00:20", "08:00:00"],
        "Time",
        "line 4: the time runs backward, 08:00:00 after 08:00:20, which is no midnight",
    ),
    (["23:00:00", "01:00:00", "00:59:00"], "Time", "line 4: the time runs backward"),
    (["0:00:10", "23:59:50", "0:00:00"], "Elapsed", "line 4: the time runs backward"),
    (["2026-03-01T08:00:20Z", "2026-03-01T08:00:10Z"], "Time", "line 3: the time runs backward"),
    (["2026-03-01 08:00:20", "2026-03-01 08:00:10"], "Time", "line 3: the time runs backward"),
    (["2026-03-01 08:00:20", "2025-03-01 08:00:30"], "Time", "line 3: the time runs backward"),
    (["TC1", "TC2"], "Time", 'the time column Time begins with "TC1", no time; expected a time such as'),
    (["2026-03-01", "2026-03-02"], "Date", 'begins with "2026-03-01", a date without a time'),
    (["13/13/2026 08:00"], "Time", "begins with .13/13/2026 08:00., no time"),
    (["03/13/2026 08:00", "13/03/2026 08:00"], "Time", "line 3: .*there is no day 3 of month 13 in 2026"),
    (["0,5", "1.5"], "Time (s)", "a mark that is no decimal mark"),
    (["1,000.5", "1,001.5"], "Time (s)", "a mark that is no decimal mark"),
]


@pytest.mark.parametrize(("rows", "name", "sentence"), OTHERS)
def test_other_forms_are_refused_as_plainly(rows: list[str], name: str, sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence):
        read(rows, None, name)


def test_the_line_is_that_of_the_file_in_later_blocks() -> None:
    rows = [f"2026-03-01 08:{minute:02d}:00" for minute in range(40)]
    rows[37] = "08:37"
    with pytest.raises(BadInput, match=r"^line 39: "):
        read(rows, None, block=7)
    rows[37] = "2026-03-01 08:35:00"
    with pytest.raises(BadInput, match=r"^line 39: .* 08:35:00 after 2026-03-01 08:36:00;"):
        read(rows, None, block=37)


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        (Told(time_form="swatch beats"), "is no form of time: expected one of date and time, time of day"),
        (Told(date_order="ydm"), "is no order of a date: expected one of ymd, dmy, mdy"),
        (Told(time_form="elapsed s"), '"2026-03-01 08:00:00" is not elapsed seconds, as was told'),
    ],
)
def test_what_was_told_must_be_known_and_fit(told: Told, sentence: str) -> None:
    with pytest.raises(BadInput, match=sentence):
        read(GOOD, told)


def test_a_told_form_goes_before_what_the_column_suggests() -> None:
    assert read(["0", "1"], Told(time_form="elapsed min"), "Time (s)").seconds == [0, 60]
    assert read(["44500.5", "44501.5"], Told(time_form="elapsed s"), "Time").seconds == [0, 1]
    assert read(["00:00:00", "23:00:00", "00:00:00"], Told(time_form="time of day")).seconds == [
        0,
        82800,
        86400,
    ]
    assert read(["1:00", "2:00"], Told(time_form="elapsed mm:ss")).seconds == [0, 60]
    assert read(["1:00", "2:00"], Told(time_form="elapsed h:mm")).seconds == [0, 3600]
    with pytest.raises(BadInput, match=r"line 4: .*a day has no hour 24; expected time of day"):
        read(["08:00:00", "08:00:10", "24:00:00"], Told(time_form="time of day"))
    with pytest.raises(BadInput, match='"10" is not time of day without a date, as was told'):
        read(["10", "20"], Told(time_form="time of day"))
    with pytest.raises(BadInput, match='"03/13/2026" is no date with day before month, as was told'):
        read(["03/13/2026 08:00"], Told(date_order="dmy"))


ASKED = [
    (["03/04/2021 08:00", "03/04/2021 08:01"], "Time", "date_order", ["dmy", "mdy"]),
    (["03-04-21 08:00", "05-04-21 08:01"], "Time", "date_order", ["dmy", "mdy"]),
    (["26/03/01 08:00", "26/03/01 08:01"], "Time", "date_order", ["ymd", "dmy"]),
    (["26/03/20 23:50", "26/03/21 00:10"], "Time", "date_order", ["ymd", "dmy"]),
    (["01/02/2026 23:50", "02/02/2026 00:10"], "Time", "date_order", ["dmy", "mdy"]),
    (["0", "10", "20"], "Time", "time_form", ["elapsed s", "elapsed min", "elapsed h"]),
    (["0", "10"], "Time (min), from start (s)", "time_form", ["elapsed s", "elapsed min", "elapsed h"]),
    (["44500", "44501"], "Date", "time_form", ["elapsed s", "elapsed min", "elapsed h", "serial days"]),
    (["36000.00", "36010.00"], "Time", "time_form", ["elapsed s", "elapsed min", "elapsed h", "serial days"]),
    (["0:00", "0:10"], "Time", "time_form", ["elapsed h:mm", "elapsed mm:ss", "time of day"]),
    (["1:00", "2:00"], "Time", "time_form", ["elapsed h:mm", "elapsed mm:ss", "time of day"]),
    (["23:50", "24:00"], "Time", "time_form", ["elapsed h:mm", "elapsed mm:ss", "time of day"]),
    (["1,000", "1,010"], "Time (s)", "decimal", [",", "."]),
    (["1.000", "1.010"], "Time (s)", "decimal", [".", ","]),
]


@pytest.mark.parametrize(("rows", "name", "key", "options"), ASKED)
def test_what_can_be_read_two_ways_is_asked(rows: list[str], name: str, key: str, options: list[str]) -> None:
    """The fifth: over midnight one order gives 20 minutes and the other a month, and still nobody guesses."""
    with pytest.raises(Unclear) as caught:
        read(rows, None, name)
    assert caught.value.question.key == key
    assert [answer for answer, _ in caught.value.question.options] == options
    assert rows[0].split(" ")[0] in str(caught.value)


def test_every_answer_is_taken() -> None:
    dates = ["03/04/2021 08:00", "03/04/2021 08:01"]
    assert [read(dates, Told(date_order=order)).clock.notes[0][31:50] for order in ("dmy", "mdy")] == [
        "at 2021-04-03 08:00",
        "at 2021-03-04 08:00",
    ]
    for form, seconds in (("elapsed s", 10), ("elapsed min", 600), ("elapsed h", 36000)):
        assert read(["0", "10"], Told(time_form=form)).seconds == [0, seconds]
    assert read(["1,000", "1,010"], Told(decimal=","), "s").seconds == [0, 0.01]
    with pytest.raises(BadInput, match="a mark that is no decimal mark: expected a number such as"):
        read(["1,000", "1,010"], Told(decimal="."), "s")


def test_points_between_say_that_the_day_stands_first() -> None:
    assert "starts at 2021-04-03 08:00:00" in read(["03.04.2021 08:00", "03.04.2021 08:01"]).clock.notes[0]


@pytest.mark.parametrize("samples", [[], [("",)], [("", "")]])
def test_no_samples_are_refused(samples: list[tuple[str, ...]]) -> None:
    with pytest.raises(BadInput, match="expected one time column"):
        settle_time(samples, ["Time"], Told())
