"""A chart becomes the reading of its step, or leaves no trace; what is read of it is read as somebody said.

The courses are those of ``relief_charts_kit``, with what they come to.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from acts_kit import ADA, BRAM, NUMBER, Bench, finish, issued, issued_copy, start
from courses import SLOW, STEEP, Course
from relief_charts_kit import (
    COLUMNS,
    INSPECT,
    MARKED,
    NO_UNIT,
    PREHEAT,
    RELEASE,
    RELIEF,
    WELD,
    logged,
    sheet,
)
from relief_charts_kit import new_chart as new

from traveler.acts.change import Outcome
from traveler.acts.chart_asked import Asked, OptionFault
from traveler.acts.chart_file import file_blocks, names_typed
from traveler.acts.charts import NewChart, attach_chart
from traveler.acts.issue import cancel, revise
from traveler.acts.look import look
from traveler.acts.readings import supersede
from traveler.acts.verify import verify
from traveler.chart.model import Told
from traveler.chart.unclear import Unclear
from traveler.errors import BadInput, TravelerError
from traveler.record.shop import Shop


def attached(bench: Bench, chart: NewChart) -> Outcome:
    return attach_chart(bench.shop, bench.clock, BRAM, bench.number, chart)


def step(bench: Bench, number: int = RELIEF) -> dict[str, Any]:
    steps = look(bench.shop, bench.clock, bench.number)["steps"]
    return dict(next(each for each in steps if each["number"] == number))


def verdicts(bench: Bench, number: int = RELIEF) -> dict[str, str]:
    return {each["quantity"]: each["verdict"] for each in step(bench, number)["requirements"]}


def readings(bench: Bench, quantity: str, number: int = RELIEF) -> list[dict[str, Any]]:
    requirements = step(bench, number)["requirements"]
    return next(list(each["readings"]) for each in requirements if each["quantity"] == quantity)


def values(bench: Bench, quantity: str, number: int = RELIEF) -> list[tuple[Any, ...]]:
    """Value, place and run of each reading."""
    return [(each["value"], each["place"], each["run"]) for each in readings(bench, quantity, number)]


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    yield from issued_copy(tmp_path / "shop.traveler", sheet())


def untouched(bench: Bench, act: Callable[[], object], expected: type[Exception] = BadInput) -> str:
    """The sentence of an act that is refused and leaves neither an event nor bytes behind."""
    before, size = bench.bodies(), bench.shop.path.stat().st_size
    with pytest.raises(expected) as refusal:
        act()
    assert bench.bodies() == before
    assert bench.shop.path.stat().st_size == size
    assert verify(bench.shop.path).faults == ()
    return str(refusal.value)


def test_what_a_chart_shows_becomes_the_readings_of_its_step(bench: Bench) -> None:
    outcome = attached(bench, new(logged()))
    assert (outcome.recorded, outcome.complies) == (True, True)
    assert outcome.message == "chart 1 (relief.csv) recorded with step 40: met"
    assert values(bench, "soak time") == [("162", "TC1", None)]
    assert {value for value, *_ in values(bench, "soak temperature")} == {"1120"}
    assert [value for value, *_ in values(bench, "heating rate")] == ["150"]
    assert [value for value, *_ in values(bench, "cooling rate")] == ["150"]
    assert values(bench, "furnace temperature at loading") == [("70", "Air", None)]
    assert set(verdicts(bench).values()) == {"met"}
    assert bench.shop.attachment(step(bench)["charts"][0]["sha256"]) == logged()
    # Coldest and hottest are the same here, which is not said twice.
    assert outcome.reasons[0] == "soak temperature 1120 °F at TC1"
    assert len(outcome.reasons) == len(set(outcome.reasons)) == 5


def test_a_chart_that_fails_is_recorded_and_stays_beside_a_good_one(bench: Bench) -> None:
    outcome = attached(bench, new(logged(STEEP)))
    assert (outcome.recorded, outcome.complies) == (True, False)
    assert "450" in outcome.reasons[0]
    assert attached(bench, new(logged())).complies
    assert verdicts(bench)["heating rate"] == "not met"
    assert [chart["verdict"] for chart in step(bench)["charts"]] == ["not met", "met"]


def test_what_one_chart_does_not_show_a_later_one_may(bench: Bench) -> None:
    assert not attached(bench, new(logged(open_from=440))).complies
    assert verdicts(bench)["soak time"] == "not shown"
    attached(bench, new(logged()))
    assert set(verdicts(bench).values()) == {"met"}


def test_other_limits_make_a_chart_show_nothing_until_it_is_attached_again(bench: Bench) -> None:
    attached(bench, new(logged()))
    revise(bench.shop, bench.clock, ADA, NUMBER, sheet("2 in"), "thicker plate")
    assert set(verdicts(bench).values()) == {"not shown"}
    assert "the limits changed" in step(bench)["requirements"][0]["verdict_reason"]
    assert not step(bench)["charts"][0]["against_current_limits"]
    attached(bench, new(logged()))
    assert set(verdicts(bench).values()) == {"met"}  # 162 of 120 min, 150 of 200 and of 250 F°/h
    assert [chart["against_current_limits"] for chart in step(bench)["charts"]] == [False, True]


def test_a_change_of_limits_while_the_file_is_read_refuses_it(bench: Bench) -> None:
    def content() -> Iterator[bytes]:
        with Shop.open(bench.shop.path) as other:
            revise(other, bench.clock, ADA, NUMBER, sheet("2 in"), "thicker plate")
        yield logged()

    outcome = attached(bench, replace(new(b""), blocks=content))
    assert (outcome.recorded, outcome.message) == (False, "not attached")
    assert outcome.reasons == ("the limits of step 40 changed meanwhile; attach it again",)
    assert step(bench)["charts"] == []


def test_one_that_was_read_wrongly_is_taken_back_by_the_one_that_stands_for_it(bench: Bench) -> None:
    wrong = Asked(told=replace(COLUMNS, unit="degC"), loaded="0 min")
    attached(bench, new(logged(head=NO_UNIT), wrong))
    assert verdicts(bench)["soak temperature"] == "not met"
    right = Asked(told=replace(COLUMNS, unit="degF"), loaded="0 min")
    instead = {"instead_of": 1, "because": "the logger writes °F"}
    assert attached(bench, new(logged(head=NO_UNIT), right, **instead)).complies
    first, second = step(bench)["charts"]
    assert (first["superseded"], first["superseded_by"], first["reason"]) == (True, 2, "the logger writes °F")
    assert not second["superseded"]
    assert set(verdicts(bench).values()) == {"met"}
    for chart, said in ((1, "taken back already"), (3, "no chart 3")):
        again = new(logged(), instead_of=chart, because="once more")
        assert said in untouched(bench, lambda again=again: attached(bench, again))


def test_once_the_step_is_signed_another_person_reads_its_chart_another_way(bench: Bench) -> None:
    """Else the performer could leave out the couple that failed, after they signed over it."""
    attached(bench, new(logged()))
    bench.perform(40)
    left_out = Asked(told=replace(COLUMNS, couples=("TC1",), ignored=("TC2",)), loaded="0 min")
    instead = new(logged(), left_out, instead_of=1, because="TC2 was loose")
    own = attach_chart(bench.shop, bench.clock, BRAM, NUMBER, instead)
    assert not own.recorded
    assert own.reasons == (
        f"{BRAM.name} signed step 40 as performed over chart 1; another person must correct it",
    )
    assert not step(bench)["charts"][0]["superseded"]
    assert attach_chart(bench.shop, bench.clock, ADA, NUMBER, instead).recorded


def test_taking_back_one_reading_takes_back_its_chart_and_no_value_can_be_put_there(bench: Bench) -> None:
    attached(bench, new(logged()))
    number = readings(bench, "soak time")[0]["reading"]

    def corrected(value: str | None) -> Outcome:
        return supersede(bench.shop, bench.clock, BRAM, NUMBER, number, value, "another furnace")

    assert "no typing error" in untouched(bench, lambda: corrected("60 min"))
    assert corrected(None).recorded
    assert step(bench)["charts"][0]["superseded"]
    assert set(verdicts(bench).values()) == {"not shown"}


def test_a_logger_left_running_is_read_where_the_arcs_were_started(bench: Bench) -> None:
    arcs = Asked(told=COLUMNS, arcs={1: "120 min", 2: "2:01:00"})
    outcome = attached(bench, new(logged(), arcs, WELD))
    assert (outcome.complies, outcome.message) == (
        True,
        "chart 1 (relief.csv) recorded with step 20: met",
    )
    # 70 and 2.5 F° a minute: 370 at minute 120, the other couple 10 F° behind; 2.5 more at minute 121.
    assert values(bench, "interpass temperature", WELD) == [
        ("360", "TC2", 1),
        ("370", "TC1", 1),
        ("362.5", "TC2", 2),
        ("372.5", "TC1", 2),
    ]
    # The clock of this logger has no date: without the times nobody could read the file again.
    assert step(bench, WELD)["charts"][0]["options"]["arcs"] == "run 1 at 2:00:00, run 2 at 2:01:00"


def test_at_an_arc_on_hot_metal_the_reading_that_fails_is_said_first(bench: Bench) -> None:
    # 522.5 °F and, 4 min behind, 512.5 at minute 181; 370 and 360 at minute 120; from 300 to 500.
    outcome = attached(bench, new(logged(), Asked(told=COLUMNS, arcs={1: "120 min", 2: "181 min"}), WELD))
    assert (outcome.recorded, outcome.complies) == (True, False)
    assert outcome.reasons[0] == "interpass temperature 512.5 °F at TC2, run 2: above 500 °F"
    assert outcome.reasons[2] == "interpass temperature 360 °F at TC2, run 1"
    cold = attached(bench, new(logged(), Asked(told=COLUMNS, arcs={1: "60 min"}), PREHEAT))
    assert cold.reasons == (
        "preheat temperature 220 °F at TC1: below 300 °F",
        "preheat temperature 210 °F at TC2: below 300 °F",
    )


def test_an_arc_is_not_marked_where_a_couple_shows_nothing_or_outside_the_chart(bench: Bench) -> None:
    for arc, said in (("500 min", "TC2 shows nothing at 8:20:00"), ("20 h", 'arcs: "20 h" lies outside')):
        chart = new(logged(open_from=440), Asked(told=COLUMNS, arcs={1: arc}), WELD)
        assert said in untouched(bench, lambda chart=chart: attached(bench, chart))


@pytest.mark.parametrize(
    "asked",
    [
        Asked(arcs={1: "120 min"}, uncertainty="5 F"),
        Asked(arcs={1: "120 min"}, rule="guard"),
        Asked(arcs={1: "120 min"}, loaded="0 min"),
        Asked(arcs={1: "120 min"}, told=Told(method="crayon")),
        Asked(told=COLUMNS),
        Asked(window="30 min"),
    ],
    ids=repr,
)
def test_what_would_not_count_is_refused_rather_than_passed_over(bench: Bench, asked: Asked) -> None:
    assert "leave out" in untouched(bench, lambda: attached(bench, new(logged(), asked, WELD)))


def test_a_chart_of_another_step_is_kept_and_not_read(bench: Bench) -> None:
    outcome = attached(bench, new(b"whatever\n", Asked(), INSPECT))
    assert (outcome.recorded, outcome.complies) == (True, True)
    assert step(bench, INSPECT)["charts"] == []
    assert "arcs are marked" in untouched(
        bench, lambda: attached(bench, new(logged(), Asked(arcs={1: "1 h"}), RELIEF))
    )
    instead = new(logged(), Asked(), INSPECT, instead_of=1, because="misread")
    assert "kept and not read" in untouched(bench, lambda: attached(bench, instead))


def test_a_chart_of_a_hydrogen_release_shows_when_it_was_uncovered(tmp_path: Path) -> None:
    # From 400 °F to 80 in 320 min, 1 F° a minute, the second couple 4 min behind: 104 °F at minute 300.
    course: Course = ((0, 400), (320, 80))
    for bench in issued(tmp_path / "release.traveler", sheet(relief=False)):
        attached(bench, new(logged(course), Asked(told=COLUMNS, out="300 min"), RELEASE))
        assert values(bench, "uncovering temperature", RELEASE) == [("104", "TC2", None)]
        assert verdicts(bench, RELEASE)["uncovering temperature"] == "met"
        attached(bench, new(logged(course), Asked(told=COLUMNS, out="60 min"), RELEASE))
        assert verdicts(bench, RELEASE)["uncovering temperature"] == "not met"


@pytest.mark.parametrize(
    ("content", "asked", "said"),
    [
        (b"", MARKED, "empty"),
        (b"no chart\n", MARKED, "row of readings"),
        (logged().replace(b"\n2,75.00,70.00", b"\n2,75.00,7x0"), MARKED, "line 3, column 3 (TC2)"),
        (logged(), replace(MARKED, told=Told(couples=("TC9",))), "TC9"),
        (logged(), replace(MARKED, window="2 min"), 'window: "2 min" is out of range'),
        (logged(), replace(MARKED, window=""), "window: nothing was typed"),
        (logged(), replace(MARKED, max_gap="0 min"), 'max-gap: "0 min" is not above zero'),
        (
            logged(),
            replace(MARKED, uncertainty="K class 2, reader -1 C"),
            'uncertainty: "-1 C" is below zero',
        ),
        (logged(), replace(MARKED, loaded="noon"), 'loaded: "noon" is no time of this chart'),
        (logged(), replace(MARKED, out="0 min"), "not after it went in"),
        (logged(), replace(MARKED, loaded="9 h", out="1 h"), "out: the part came out at 1:00:00"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_cannot_be_read_stores_nothing(bench: Bench, content: bytes, asked: Asked, said: str) -> None:
    assert said in untouched(bench, lambda: attached(bench, new(content, asked)))


def test_the_fault_of_an_option_names_the_option(bench: Bench) -> None:
    with pytest.raises(OptionFault) as fault:
        attached(bench, new(logged(), replace(MARKED, out="noon")))
    assert fault.value.option == "out"


def test_an_open_question_stores_nothing(bench: Bench) -> None:
    untouched(bench, lambda: attached(bench, new(logged(head=NO_UNIT))), Unclear)


def test_a_file_that_changes_while_it_is_read_stores_nothing(bench: Bench) -> None:
    contents: Sequence[bytes] = [logged(), logged(STEEP)]
    opened = iter(contents)
    chart = replace(new(b""), blocks=lambda: [next(opened)])
    assert "changed while it was read" in untouched(bench, lambda: attached(bench, chart), TravelerError)


def test_a_job_that_has_ended_takes_no_chart(bench: Bench) -> None:
    cancel(bench.shop, bench.clock, ADA, NUMBER, "the car was sold")
    outcome = attached(bench, new(logged()))
    assert (outcome.recorded, outcome.message) == (False, "not attached")
    assert step(bench)["charts"] == []


def test_the_name_of_a_file_is_looked_at_again_each_time(tmp_path: Path) -> None:
    shop, file = tmp_path / "shop.traveler", tmp_path / "relief.csv"
    shop.write_bytes(b"the shop")
    file.write_bytes(b"a chart")
    blocks = file_blocks(str(file), shop)
    assert b"".join(blocks()) == b"a chart"
    file.unlink()
    file.symlink_to(shop)
    with pytest.raises(BadInput, match="the shop's file itself"):
        b"".join(blocks())
    file.unlink()
    with pytest.raises(BadInput, match="cannot be read"):
        b"".join(blocks())
    for name, said in (("", "is empty"), (str(tmp_path), "a folder"), ("x" * 9000, r"xxx\.\.\. cannot")):
        with pytest.raises(BadInput, match=said) as refusal:
            file_blocks(name, shop)
        assert len(str(refusal.value)) < 400


@pytest.mark.parametrize(
    ("texts", "names"),
    [
        (["TC1, TC2", "TC3"], ("TC1", "TC2", "TC3")),
        (['"TC3, inside", 3" pipe'], ("TC3, inside", '3" pipe')),
        ([], ()),
    ],
)
def test_names_are_typed_with_commas(texts: list[str], names: tuple[str, ...]) -> None:
    assert names_typed(texts) == names


@pytest.mark.parametrize("text", ["", " ", "TC1,", '"TC1', "TC1\nTC2", "x" * 200_000])
def test_what_is_no_list_of_names_is_a_sentence(text: str) -> None:
    with pytest.raises(BadInput, match="expected names such as TC1, TC2"):
        names_typed([text])


ATTACHING = """
import sys
from pathlib import Path
from acts_kit import BRAM, NUMBER
from traveler.acts.chart_asked import Asked
from traveler.acts.chart_file import file_blocks
from traveler.acts.charts import NewChart, attach_chart
from traveler.acts.clock import SystemClock
from traveler.chart.model import Told
from traveler.errors import TravelerError
from traveler.record.shop import Shop
shop_path, file, instead_of = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]) or None
asked = Asked(told=Told(couples=("TC1", "TC2"), furnace=("Air",)), loaded="0 min")
with Shop.open(shop_path) as shop:
    for _ in range(1 if instead_of else 4):
        new = NewChart(40, Path(file).name, file_blocks(file, shop_path), asked, instead_of, instead_of and "misread")
        try:
            print(attach_chart(shop, SystemClock(), BRAM, NUMBER, new).message, flush=True)
        except TravelerError as error:
            print(error, flush=True)
"""


@pytest.mark.slow
def test_two_processes_attach_at_once_and_one_alone_takes_a_chart_back(bench: Bench, tmp_path: Path) -> None:
    for name, course in (("slow.csv", SLOW), ("steep.csv", STEEP)):
        (tmp_path / name).write_bytes(logged(course))

    def both(instead_of: int) -> list[str]:
        children = [
            start(ATTACHING, bench.shop.path, tmp_path / name, instead_of)
            for name in ("slow.csv", "steep.csv")
        ]
        return [line for child in children for line in finish(child).splitlines()]

    told = both(instead_of=0)
    assert sorted(int(line.split()[1]) for line in told) == list(range(1, 9))
    charts = step(bench)["charts"]
    for line in told:
        number = int(line.split()[1])
        assert f"({charts[number - 1]['name']})" in line
        assert line.endswith(f": {charts[number - 1]['verdict']}")
    told = both(instead_of=3)
    assert sorted(line.split()[0] for line in told) == ["chart", "chart"]
    assert sum("is taken back already" in line for line in told) == 1
    assert [chart["superseded_by"] for chart in step(bench)["charts"] if chart["superseded"]] == [9]
    numbers = sorted(
        each["reading"] for requirement in step(bench)["requirements"] for each in requirement["readings"]
    )
    assert numbers == list(range(1, len(numbers) + 1))
    assert verify(bench.shop.path).faults == ()
