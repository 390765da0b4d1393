"""Which columns are required couples, which are furnace, spare or ignored, and what the chart says of the reading."""

import hashlib

import pytest
from make_files import made, named, read, timed

from traveler.chart.model import Chart, Told
from traveler.chart.reading.mapping_file import read_mapping, told_from_mapping, write_mapping
from traveler.errors import BadInput

FIVE = made(
    ["Time", "TC1 (°C)", "tc2 (°C)", "TC3 (°C)", "Air (°C)", "Output (%)"],
    timed([["20", "21"], ["22", "23"], ["24", "25"], ["26", "27"], ["0", "9"]]),
)


def roles(chart: Chart) -> dict[str, tuple[str, str | None]]:
    return {channel.name: (channel.role, channel.spare_for) for channel in chart.channels}


def test_every_temperature_column_is_a_required_couple() -> None:
    chart = read(FIVE)
    assert roles(chart) == dict.fromkeys(("TC1", "tc2", "TC3", "Air"), ("part", None))
    assert (
        "Air is taken as a required part couple; if it is not on the part, name it as furnace or ignored"
        in chart.notes
    )
    assert "not read as temperatures: Output" in chart.notes


def test_roles_by_name_whatever_the_case() -> None:
    chart = read(FIVE, Told(couples=(" tc1",), furnace=("AIR",), spares={"TC2 (°c)": "Tc1"}))
    assert roles(chart) == {
        "TC1": ("part", None), "tc2": ("spare", "TC1"), "TC3": ("ignored", None), "Air": ("furnace", None),
    }  # fmt: skip
    assert "not among the couples that were named, so not judged: TC3" in chart.notes


def test_without_couples_named_the_rest_are_couples() -> None:
    chart = read(FIVE, Told(furnace=("Air",), ignored=("TC3",)))
    assert [role for role, _ in roles(chart).values()] == ["part", "part", "ignored", "furnace"]
    assert not [note for note in chart.notes if note.startswith("Air")]


def test_the_same_name_twice() -> None:
    chart = read(made(["Time", "TC (°C)", "TC (°C)", "tc (°C)"], timed([["20", "21"]] * 3)))
    assert [channel.name for channel in chart.channels] == ["TC", "TC (2)", "tc (3)"]
    chart = read(made(["Time", "TC (°C)", "TC (°C)"], timed([["20", "21"]] * 2)), Told(couples=("tc (2)",)))
    assert [channel.role for channel in chart.channels] == ["ignored", "part"]


def test_a_couple_that_is_open_from_beginning_to_end_is_still_required() -> None:
    for name, cells in (("TC2 (°C)", ["", ""]), ("TC2", ["OPEN", "OPEN"]), ("Corner", ["---", "---"])):
        content = made(["Time", "TC1 (°C)", name], timed([["20", "21"], cells]))
        if "°C" not in name:
            content = content.replace(" (°C)".encode(), b"")
        assert [channel.role for channel in read(content, Told(unit="degC")).channels] == ["part", "part"]


def test_a_couple_of_unknown_words_is_refused_not_dropped() -> None:
    content = made(["Time", "TC1", "TC2"], timed([["20", "21"], ["n.c.", "n.c."]]))
    with pytest.raises(BadInput, match=r'line 2, column 3 \(TC2\): read "n\.c\."'):
        read(content, Told(unit="degC"))


def test_the_lowest_and_the_mean_of_an_interval_are_pointed_out() -> None:
    content = made(["Time", "TC1 min (°C)", "TC1 (avg) °C"], timed([["20", "21"]] * 2))
    assert [note for note in read(content).notes if "TC1 min, TC1 (avg)" in note and "hides peaks" in note]


def test_an_ignored_column_may_be_in_the_other_unit() -> None:
    content = made(["Time", "TC1 (°C)", "TC2 (°F)"], timed([["20", "21"], ["68", "70"]]))
    chart = read(content, Told(ignored=("TC2",)))
    assert (chart.unit, roles(chart)) == ("degC", {"TC1": ("part", None)})


def test_the_chart_names_the_bytes_and_how_they_were_read() -> None:
    content = (
        "Datum;Zeit;TC1 [°C];Luft [°C]\n01.03.2026;08:00:00;20,5;30\n01.03.2026;08:01:00;OPEN;31,5\n".encode(
            "cp1252"
        )
    )
    chart = read(content, Told(furnace=("Luft",)))
    assert chart.sha256 == hashlib.sha256(content).hexdigest()
    assert chart.mapping == {
        "encoding": "Windows-1252", "delimiter": ";", "decimal": ",", "header_line": "1", "time": ["Datum", "Zeit"],
        "times": "date and time, day before month, zone not stated", "time_form": "date and time", "date_order": "dmy",
        "unit": "degC", "couples": ["TC1"], "furnace": ["Luft"], "method": "logger",
    }  # fmt: skip


AGAIN = [
    (FIVE, Told()),
    (
        FIVE,
        Told(
            couples=("TC1",),
            furnace=("Air",),
            spares={"TC2": "TC1"},
            missing=("x", "850"),
            method="hand-read",
        ),
    ),
    (FIVE.replace("°C".encode(), b"C"), Told(unit="degF", ignored=("TC3",))),
    (made([], timed([["20", "21"]] * 2)), Told(unit="degC")),
    (
        b"Time   Part 1  Part 2\n8:00   20  1 100\n8:01   21  1 101\n",
        Told(unit="degF", delimiter="two spaces"),
    ),
    (
        "sep=\t\nGroup\tx\nT\tTC\tTC\n(s)\t°F\t°F\n0\t70,5\t71\n10\t1.100,5\t72\n".encode("utf-16"),
        Told(time=("T",)),
    ),
]


@pytest.mark.parametrize(("content", "told"), AGAIN, ids=range(len(AGAIN)))
def test_the_mapping_read_back_gives_the_same_chart(content: bytes, told: Told) -> None:
    first = read(content, told)
    for kept in first.mapping.values():
        assert isinstance(kept, str) or (
            isinstance(kept, list) and all(isinstance(text, str) for text in kept)
        )
    back = told_from_mapping(first.mapping)
    assert read_mapping(write_mapping(back)) == back
    again = read(content, back)
    assert again.mapping == first.mapping
    assert roles(again) == roles(first)
    assert (again.times_s, again.unit, again.method) == (first.times_s, first.unit, first.method)
    for channel in first.channels:
        assert list(map(repr, named(again, channel.name).values)) == list(map(repr, channel.values))


def test_what_is_no_temperature_may_be_ignored_and_cannot_be_a_couple() -> None:
    rows = [[*row, "0:10", "door"] for row in timed([["20", "21"], ["45", "46"]])]
    content = made(["Time", "TC1 (°C)", "Output (%)", "Elapsed", "Remark"], rows)
    assert roles(read(content, Told(ignored=("Output", "Elapsed", "Remark")))) == {"TC1": ("part", None)}
    for name in ("Output", "Elapsed"):
        with pytest.raises(BadInput, match=rf"\({name}\) is no temperature, which a part couple must be"):
            read(content, Told(couples=("TC1", name)))
    with pytest.raises(BadInput, match=r'line 2, column 5 \(Remark\): read "door"'):
        read(content, Told(couples=("TC1", "Remark")))
