"""Temperature crayons as they are typed, recorded, corrected and judged; the job's decision rule in its event."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, HEADER, NUMBER, Bench, HandClock, issued_copy, sheet

from traveler.acts.issue import issue
from traveler.acts.look import look
from traveler.acts.readings import retry, supersede
from traveler.errors import BadInput
from traveler.record.shop import Shop


@pytest.mark.parametrize(
    ("typed", "value", "bound"),
    [
        ("melts 320 F", "320", "at_least"),
        ("Melts  320 F", "320", "at_least"),
        ("melted at 320°F", "320", "at_least"),
        ("holds 350 F", "350", "at_most"),
        ("does not melt 350 F", "350", "at_most"),
        ("did not melt at 350 F", "350", "at_most"),
        ("held 350 F", "350", "at_most"),
    ],
)
def test_a_crayon_is_kept_as_value_unit_and_bound(bench: Bench, typed: str, value: str, bound: str) -> None:
    bench.record(10, "preheat temperature", typed, place="web")
    act = bench.bodies()[-1]["act"]
    assert (act["value"], act["unit"], act["bound"], act["typed"]) == (value, "degF", bound, typed)


def test_an_ordinary_reading_is_kept_as_before(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "320 F")
    assert "bound" not in bench.bodies()[-1]["act"]


@pytest.mark.parametrize(
    ("quantity", "typed", "word"),
    [
        ("preheat temperature", "melts", "the number is missing"),
        ("preheat temperature", "melts hot", "the number is missing"),
        ("preheat temperature", "melts 320", "the unit is missing"),
        ("preheat temperature", "melts 320 mm", "not a unit of temperature"),
        ("preheat temperature", "melts melts 320 F", "the number is missing"),
        ("preheat temperature", "boils 320 F", "the number is missing"),
    ],
)
def test_what_is_no_mark_is_refused(bench: Bench, quantity: str, typed: str, word: str) -> None:
    before = bench.bodies()
    with pytest.raises(BadInput, match=word):
        bench.record(10, quantity, typed)
    assert bench.bodies() == before


def test_only_a_temperature_is_read_by_crayon(bench: Bench) -> None:
    with pytest.raises(BadInput, match="is what a temperature crayon does; expected a time such as"):
        bench.record(40, "wait before test", "melts 48 h")


def test_two_crayons_close_one_place_and_the_outcome_says_so(bench: Bench) -> None:
    alone = bench.record(10, "preheat temperature", "melts 325 F", place="web")
    assert alone.message.startswith(
        "reading 1 recorded preheat temperature melts 325 F: not shown: not evaluable"
    )
    assert not alone.complies
    pair = bench.record(10, "preheat temperature", "holds 375 F", place="web")
    assert pair.message == "reading 2 recorded preheat temperature holds 375 F: within its limit"
    assert pair.complies
    bench.record(10, "preheat temperature", "330 F", place="flange")
    bench.perform(10)
    assert bench.accept(10).recorded


def test_a_crayon_is_corrected_to_a_crayon_or_to_a_number(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "melts 225 F", place="web")
    supersede(bench.shop, bench.clock, ADA, bench.number, 1, "melts 325 F", "misread the mark")
    assert bench.bodies()[-1]["act"]["correction"]["bound"] == "at_least"
    supersede(bench.shop, bench.clock, ADA, bench.number, 2, "325 F", "it was the thermometer")
    assert "bound" not in bench.bodies()[-1]["act"]["correction"]


@pytest.fixture
def guarded(tmp_path: Path) -> Iterator[Bench]:
    ruled = sheet().replace(b'units = "inch"', b'units = "inch"\ndecision_rule = "guard band"')
    assert b"decision_rule" in ruled
    yield from issued_copy(tmp_path / "guarded.traveler", ruled)


def test_the_rule_of_the_sheet_is_frozen_in_the_event(guarded: Bench, bench: Bench) -> None:
    assert guarded.bodies()[0]["act"]["decision_rule"] == "guard band"
    assert bench.bodies()[0]["act"]["decision_rule"] == "simple acceptance"


def test_a_guard_band_blocks_what_simple_acceptance_lets_pass(guarded: Bench, bench: Bench) -> None:
    for shop, accepted in ((guarded, False), (bench, True)):
        for place in ("web", "flange"):
            shop.record(10, "preheat temperature", "melts 301 F", place=place)
            last = shop.record(10, "preheat temperature", "holds 375 F", place=place)
        assert ("conditional" in last.message, last.complies) == (True, accepted)
        shop.perform(10)
        outcome = shop.accept(10)
        assert outcome.recorded is accepted
        assert accepted or "preheat temperature conditional" in outcome.reasons[0]


def test_a_sheet_of_the_kit_has_no_rule_of_its_own(tmp_path: Path) -> None:
    assert "decision_rule" not in HEADER
    with Shop.create(tmp_path / "plain.traveler") as shop:
        outcome = issue(shop, HandClock(), ADA, sheet())
        assert outcome.state.decision_rule == "simple acceptance"


def test_what_a_crayon_shows_is_rounded_away_from_the_limit(bench: Bench) -> None:
    # 1 % below 303 F is 299.97 F: not the 300 F that is asked for.
    melts = bench.record(10, "preheat temperature", "melts 303 F", place="web")
    holds = bench.record(10, "preheat temperature", "holds 332 F", place="flange")
    assert "by itself shows at least 299.9 °F" in melts.message
    assert "by itself shows at most 335.4 °F" in holds.message


def test_crayons_of_an_earlier_attempt_are_judged_among_themselves(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "melts 310 F", place="web")
    bench.record(10, "preheat temperature", "holds 350 F", place="web")
    bench.record(10, "preheat temperature", "290 F", place="flange")
    retry(bench.shop, bench.clock, BRAM, NUMBER, 10, "preheat temperature", None, "heated on")
    bench.record(10, "preheat temperature", "melts 325 F", place="web")
    bench.record(10, "preheat temperature", "holds 350 F", place="web")
    readings = look(bench.shop, bench.clock, NUMBER)["steps"][0]["requirements"][0]["readings"]
    assert [(r["attempt"], r["verdict"]) for r in readings] == [
        (1, "met"), (1, "met"), (1, "not met"), (2, "met"), (2, "met"),
    ]  # fmt: skip
