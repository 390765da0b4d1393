"""What cannot be read is refused in one sentence that names it, and leaves nothing behind."""

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, MORNING, NUMBER, STREAM, Bench, HandClock, issued, sheet
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from traveler.acts.change import load_job
from traveler.acts.issue import cancel, close, issue, plan_sheet, revise
from traveler.acts.look import export, look
from traveler.acts.readings import attach, retry, supersede
from traveler.errors import BadInput, TravelerError
from traveler.job.state import Person
from traveler.record.shop import Shop

LONG = "x" * 501
CONTROLS = ("\x1b[31mred", "a\tb", "bell\x07", "\x00", "a\u2028b", "\x9b31m", "a\r\nb")


def refused(bench: Bench, act: Callable[[], object], *words: str) -> None:
    """The act raises one printable sentence with these words in it, and no event is there afterwards."""
    before = bench.bodies(), bench.shop.board()
    with pytest.raises(TravelerError) as found:
        act()
    said = str(found.value)
    assert said.isprintable(), said
    assert all(word in said for word in words), said
    assert (bench.bodies(), bench.shop.board()) == before


@pytest.mark.parametrize(
    ("value", "word"),
    [
        ("300", "the unit is missing"),
        ("300 farad", "farad is not a unit of temperature"),
        ("300 mm", "mm is not a unit of temperature"),
        ("NaN", "the number is missing"),
        ("nan F", "the number is missing"),
        ("inf F", "the number is missing"),
        ("1e9 F", "without an exponent"),
        ("300,5 F", "decimal comma"),
        ("", "nothing was entered"),
        ("   ", "nothing was entered"),
        ("F", "the number is missing"),
        ("-500 F", "below absolute zero"),
        ("1/0 F", "divided by zero"),
        ("300 F°", "is not a unit of temperature"),
        ("three hundred F", "the number is missing"),
        ("300 F 310 F", ""),
        ("３００ F", ""),
        ("٣٠٠ F", ""),
        ("9" * 60 + " F", "longer than 40 characters"),
        ("300 F\x1b[2J", "U+001B"),
        ("300 F\ud800", "U+D800"),
        (LONG, "501 characters are too many"),
    ],
)
def test_a_value_that_is_no_temperature(bench: Bench, value: str, word: str) -> None:
    refused(bench, lambda: bench.record(10, "preheat temperature", value), word)
    bench.record(10, "preheat temperature", "30 F", place="web")
    refused(bench, lambda: supersede(bench.shop, bench.clock, BRAM, NUMBER, 1, value, "misread"), word)


@pytest.mark.slow
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    value=st.text(max_size=60),
    step=st.sampled_from(((10, "preheat temperature"), (20, "arc energy"), (30, "cooling after welding"))),
)
def test_any_text_at_all_is_recorded_or_refused_in_a_sentence(
    bench: Bench, value: str, step: tuple[int, str]
) -> None:
    before, recorded = len(bench.bodies()), 0
    with suppress(BadInput):
        bench.record(*step, value, place=value, instrument=value)
        recorded = 1
    assert len(bench.bodies()) == before + recorded


@pytest.mark.parametrize("value", ["-300 C/h", "−300 C/h", "-1 F/h"])
def test_a_rate_with_a_minus_sign_does_not_slip_under_its_maximum(tmp_path: Path, value: str) -> None:
    """Somebody writes a cooling rate as -300 C/h: it is not less than 280 C/h."""
    raw = (Path(__file__).parents[2] / "fixtures" / "sheets" / "thick-quenched.toml").read_bytes()
    for bench in issued(tmp_path / "q.traveler", raw, "Q-031"):
        refused(bench, lambda bench=bench: bench.record(60, "cooling rate", value), "cooling rate", "minus")
        refused(bench, lambda bench=bench: bench.record(20, "gap", "-1 mm"), "gap")
        refused(bench, lambda bench=bench: bench.record(70, "hardness", "-5 HV"), "hardness")
        refused(bench, lambda bench=bench: bench.record(70, "hardness", "30 HRC"), "HRC")
        assert not bench.record(60, "soak time", "-5 min").complies
        assert bench.record(20, "metal temperature", "-40 F").recorded


@pytest.mark.parametrize(
    "text", ["[A36]", "[/]", "[bold]x[/bold]", r"\x1b[31m", "支架 Träger", "a" * 200, "é", "' OR 1=1 --"]
)
def test_names_and_places_are_kept_as_they_were_typed(bench: Bench, text: str) -> None:
    who = Person(text)
    bench.record(10, "preheat temperature", "320 F", place=text, instrument=text, by=who)
    bench.record(20, "welder", text)
    attach(bench.shop, bench.clock, who, NUMBER, 10, text, b"invented", "photo")
    supersede(bench.shop, bench.clock, who, NUMBER, 1, "321 F", text)
    reading, replacement = look(bench.shop, bench.clock, NUMBER)["steps"][0]["requirements"][0]["readings"]
    assert [reading[key] for key in ("place", "instrument", "reason")] == [text] * 3
    assert replacement["by"] == {"name": text, "how": "stated"}
    assert look(bench.shop, bench.clock, NUMBER)["attachments"][0]["name"] == text
    assert text in export(bench.shop, NUMBER, "json").decode().replace("\\\\", "\\")


def test_text_is_kept_in_composed_form_and_on_one_line(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "320 F", place="  Tra\u0308ger,\nleft ")
    assert bench.bodies()[-1]["act"]["place"] == "Träger, left"


@pytest.mark.parametrize("text", [*CONTROLS, LONG, "\ud800", "half \udfff pair"])
def test_what_cannot_stand_in_the_record_is_refused_everywhere(bench: Bench, text: str) -> None:
    shop, clock, some = bench.shop, bench.clock, Person(text)
    bench.record(10, "preheat temperature", "30 F", place="web")
    for act in (
        lambda: bench.record(10, "preheat temperature", "320 F", place=text),
        lambda: bench.record(10, "preheat temperature", "320 F", instrument=text),
        lambda: bench.record(10, "preheat temperature", "320 F", by=some),
        lambda: bench.record(20, "welder", text),
        lambda: bench.record(30, "cooling after welding", text),
        lambda: bench.record(10, text, "320 F"),
        lambda: bench.record(10, "preheat temperature", "320 F", joint=text),
        lambda: bench.record(10, "preheat temperature", "320 F", at=text),
        lambda: supersede(shop, clock, BRAM, NUMBER, 1, None, text),
        lambda: retry(shop, clock, BRAM, NUMBER, 10, "preheat temperature", None, text),
        lambda: attach(shop, clock, BRAM, NUMBER, 10, text, b"x", "photo"),
        lambda: attach(shop, clock, BRAM, NUMBER, 10, "x.jpg", b"x", text),
        lambda: cancel(shop, clock, BRAM, NUMBER, text),
        lambda: revise(shop, clock, BRAM, NUMBER, sheet(), text),
        lambda: load_job(shop, text),
        lambda: bench.perform(10, some),
    ):
        refused(bench, act)


@pytest.mark.parametrize("name", ["", " ", "\n", "\u3000"])
def test_nobody_does_nothing(bench: Bench, name: str) -> None:
    nobody = Person(name)
    bench.through_everything()
    refused(bench, lambda: bench.perform(10, nobody), "name is missing")
    refused(bench, lambda: bench.record(10, "preheat temperature", "320 F", by=nobody), "name is missing")
    refused(bench, lambda: close(bench.shop, bench.clock, nobody, NUMBER), "name is missing")
    raw = sheet().replace(b'"A-101"', b'"A-102"')
    refused(bench, lambda: issue(bench.shop, bench.clock, nobody, raw), "name is missing")
    assert bench.shop.job_numbers() == [NUMBER]


@pytest.mark.parametrize("reason", ["", "  ", "\n"])
def test_a_reason_is_asked_for(bench: Bench, reason: str) -> None:
    shop, clock = bench.shop, bench.clock
    bench.record(10, "preheat temperature", "30 F")
    refused(bench, lambda: supersede(shop, clock, BRAM, NUMBER, 1, None, reason), "reason")
    refused(
        bench, lambda: retry(shop, clock, BRAM, NUMBER, 10, "preheat temperature", None, reason), "reason"
    )
    refused(bench, lambda: cancel(shop, clock, BRAM, NUMBER, reason), "reason")
    refused(bench, lambda: revise(shop, clock, BRAM, NUMBER, sheet(), reason), "reason")


def test_what_is_not_there_is_named_with_what_is(bench: Bench) -> None:
    shop, clock = bench.shop, bench.clock
    refused(bench, lambda: load_job(shop, "Z-9"), 'no job "Z-9"', NUMBER)
    refused(bench, lambda: bench.record(15, "gap", "1 mm"), "no step 15", "10, 20, 30, 40")
    refused(bench, lambda: bench.perform(-1), "no step -1")
    refused(bench, lambda: bench.accept(0), "no step 0")
    refused(bench, lambda: bench.record(10, "preheat", "300 F"), '"preheat"', "preheat temperature")
    refused(bench, lambda: bench.record(10, "preheat temperature", "300 F", joint="J9"), '"J9"', "J1")
    refused(bench, lambda: bench.record(40, "wait before test", "48 h", joint="J9"), '"J9"', "J1")
    refused(bench, lambda: bench.record(10, "preheat temperature", "300 F", run=1), "run by run")
    for run in (0, -1, 10_000):
        refused(bench, lambda run=run: bench.record(20, "arc energy", "1 kJ/mm", run=run), "no run of weld")
    refused(bench, lambda: supersede(shop, clock, BRAM, NUMBER, 7, None, "misread"), "no reading 7")
    refused(
        bench, lambda: attach(shop, clock, BRAM, NUMBER, 10, "a", b"", "drawing"), "chart, certificate, photo"
    )
    refused(bench, lambda: attach(shop, clock, BRAM, NUMBER, 10, " ", b"", "photo"), "name")
    refused(bench, lambda: bench.record(30, "cooling after welding", "x"), "none of", "in open air")


def test_a_reading_is_superseded_once(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "30 F", place="web")
    supersede(bench.shop, bench.clock, BRAM, NUMBER, 1, "300 F", "misread")

    def again() -> None:
        supersede(bench.shop, bench.clock, BRAM, NUMBER, 1, "301 F", "misread")

    refused(bench, again, "superseded already by reading 2")


def test_a_number_in_use_is_refused(bench: Bench) -> None:
    refused(bench, lambda: issue(bench.shop, bench.clock, ADA, sheet()), "already")


def test_several_joints_want_one_named(tmp_path: Path) -> None:
    raw = (Path(__file__).parents[2] / "fixtures" / "sheets" / "nickel-filler.toml").read_bytes()
    for bench in issued(tmp_path / "n.traveler", raw, "N-019"):
        refused(bench, lambda bench=bench: bench.record(20, "gap", "1 mm"), "J1", "coupon")
        assert bench.record(20, "gap", "1 mm", joint="coupon").complies
        assert bench.record(20, "GAP ", "0 mm", joint="J1").complies
        refused(
            bench, lambda bench=bench: bench.record(30, "preheat temperature", "400 F", joint="coupon"), "J1"
        )


def test_an_attachment_that_is_refused_leaves_no_content(bench: Bench) -> None:
    refused(bench, lambda: attach(bench.shop, bench.clock, BRAM, NUMBER, 99, "a.jpg", b"invented", "photo"))
    with bench.shop.write() as writing:
        name, _ = writing.put_attachment(b"another")
    with pytest.raises(TravelerError):
        bench.shop.attachment("0" * 64)
    assert bench.shop.attachment(name) == b"another"


def test_a_clock_without_an_offset_is_refused(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "s.traveler") as shop:
        with pytest.raises(TravelerError):
            issue(shop, HandClock(MORNING.replace(tzinfo=None)), ADA, sheet())
        assert shop.events(STREAM) == []
        assert plan_sheet(sheet()).number == NUMBER
