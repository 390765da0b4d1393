"""A cracked part from receiving to plating through the acts: what complies closes the job, prints and verifies."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, Bench, issued

from traveler.acts.change import load_job
from traveler.acts.issue import close, revise
from traveler.acts.look import export, look
from traveler.acts.verify import verify
from traveler.job.requirement import Requirement, StepPlan
from traveler.quantity.quantity import Quantity
from traveler.report.weld_map import weld_map

SHEET = (Path(__file__).parents[2] / "fixtures" / "sheets" / "crack-repair.toml").read_bytes()
NUMBER = "H-231"
WORDS = {"welder": "Bram Ortega", "hardness as received of lug": "197 HB", "wait before test": "49 h"}


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    yield from issued(tmp_path / "repair.traveler", SHEET, NUMBER)


def complying(requirement: Requirement) -> str:
    """Something that may be recorded and complies."""
    if requirement.quantity in WORDS:
        return WORDS[requirement.quantity]
    if requirement.type != "number":
        return requirement.accepts[0] if requirement.accepts else "as found"
    limit = requirement.at_least or requirement.at_most
    return written(limit) if limit else f"1 {requirement.unit}"


def written(limit: Quantity) -> str:
    return f"{limit.text} {limit.unit.symbol}"


def done(bench: Bench, step: StepPlan) -> None:
    """Every requirement recorded as it complies, the step signed and accepted."""
    if step.kind == "inspect":
        bench.clock.pass_by(49 * 60)
    for requirement in step.requirements:
        for place in range(requirement.evidence.readings):
            assert bench.record(
                step.number, requirement.quantity, complying(requirement), place=f"place {place}"
            ).recorded
    bench.clock.pass_by(1)
    bench.perform(step.number, runs=1 if step.kind == "weld" else None)
    accepted = bench.accept(step.number)
    assert accepted.recorded, accepted.reasons


@pytest.mark.slow
def test_from_receiving_to_plating(bench: Bench, tmp_path: Path) -> None:
    for step in load_job(bench.shop, NUMBER).plan.steps:
        done(bench, step)
    assert close(bench.shop, bench.clock, ADA, NUMBER).recorded
    told = look(bench.shop, bench.clock, NUMBER)
    (joint,) = weld_map(told)
    facts = dict(joint["facts"])
    assert facts["Procedure"] == "WPS-12 revision B"
    assert facts["Repair of"] == "crack, repair 2"
    tests = [words for label, words in joint["facts"] if label == "Test"]
    assert any(words.startswith("crack proved out: no indications by penetrant") for words in tests)
    assert "joint J1 is a repair: crack, repair 2" in told["exceptions"]
    text = export(bench.shop, NUMBER, "text").decode()
    for words in ("procedure WPS-12 revision B", "ASTM B850", "FAA AC 43.13-1B", "ISO 15614-1"):
        assert words in text
    (tmp_path / "job.json").write_bytes(export(bench.shop, NUMBER, "json"))
    assert verify(tmp_path / "job.json").faults == ()


def test_a_wall_that_measures_more_waits_for_a_revision_that_keeps_the_reading(bench: Bench) -> None:
    """The preheat of 250 F serves up to 1/8 in; the lug measures 0.140 in."""
    assert bench.record(10, "measured thickness of lug", "0.140 in").recorded
    state = load_job(bench.shop, NUMBER)
    step = state.plan.steps[0]
    lug = next(r for r in step.requirements if r.quantity == "measured thickness of lug")
    assert lug.at_most is not None
    assert written(lug.at_most) == "0.128 in"
    thicker = SHEET.replace(b'thickness = "0.110 in"', b'thickness = "0.140 in"').replace(
        b'at_least = "250 F"', b'at_least = "300 F"'
    )
    assert revise(bench.shop, bench.clock, ADA, NUMBER, thicker, "the lug measures 0.140 in").recorded
    after = load_job(bench.shop, NUMBER)
    lug = next(r for r in after.plan.steps[0].requirements if r.quantity == "measured thickness of lug")
    assert lug.at_most is not None
    assert written(lug.at_most) == "0.253 in"
    assert [reading.value for reading in after.standing(after.plan.steps[0], lug)] == ["0.140"]
