"""Jobs that nobody may accept, whatever is read: an empty window, a limit that nobody determined, a step that lacks."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, Bench, issued, issued_copy, sheet
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from traveler.acts.issue import close

FIXTURES = Path(__file__).parents[2] / "fixtures" / "sheets"


@pytest.fixture
def nickel(tmp_path: Path) -> Iterator[Bench]:
    yield from issued_copy(tmp_path / "n.traveler", (FIXTURES / "nickel-filler.toml").read_bytes(), "N-019")


@pytest.fixture
def undetermined(tmp_path: Path) -> Iterator[Bench]:
    # No table row for 42CrMo4 and its carbon outside EN 1011-2 method B: no governing method, so no limit.
    raw = (
        (FIXTURES / "structural.toml")
        .read_text()
        .replace("S355J2", "42CrMo4")
        .replace("as rolled", "annealed")
    )
    yield from issued_copy(tmp_path / "u.traveler", raw.encode(), "S-002")


def fill_and_sign(bench: Bench, temperatures: list[str]) -> None:
    """Record every requirement of every step with what would comply, and sign all of it."""
    for body in bench.bodies()[0]["act"]["plan"]["steps"]:
        for requirement in body["requirements"]:
            name, joint = requirement["quantity"], requirement["joint"]
            if requirement["unit"] == "degC":
                values = ["100 F"] if name == "uncovering temperature" else temperatures
            elif requirement["type"] == "number":
                values = [{"kJ/mm": "1.0 kJ/mm", "h": "72 h", "mm": "0 mm"}[requirement["unit"]]]
            else:
                values = [*requirement["accepts"], "lot 7"][:1]
            for place, value in enumerate(values):
                bench.record(body["number"], name, value, joint=joint, place=f"place {place}")
        bench.perform(body["number"], BRAM)


@pytest.mark.slow
@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(fahrenheit=st.lists(st.integers(60, 700), min_size=2, max_size=3))
def test_an_empty_window_is_never_accepted(nickel: Bench, fahrenheit: list[int]) -> None:
    fill_and_sign(nickel, [f"{value} F" for value in fahrenheit])
    for step in (30, 40, 60, 70):
        refused = nickel.accept(step, ADA)
        assert not refused.recorded
        assert any("the window of" in reason and "is empty" in reason for reason in refused.reasons)
    assert not close(nickel.shop, nickel.clock, ADA, "N-019").recorded


@pytest.mark.parametrize("value", ["20 C", "150 C", "300 C", "600 C"])
def test_a_limit_not_determined_is_never_accepted(undetermined: Bench, value: str) -> None:
    outcome = undetermined.record(30, "preheat temperature", value, place="web")
    assert (outcome.recorded, outcome.complies) == (True, False)
    fill_and_sign(undetermined, [value, value])
    accepted = {step: undetermined.accept(step, ADA) for step in (10, 20, 30, 40)}
    assert [step for step, outcome in accepted.items() if outcome.recorded] == [10]
    for step in (20, 30, 40):
        assert any("not determined" in reason for reason in accepted[step].reasons)


def test_a_route_that_lacks_a_step_is_not_closed(tmp_path: Path) -> None:
    route = ((10, "preheat"), (20, "weld"), (30, "hydrogen release"))
    for bench in issued(tmp_path / "l.traveler", sheet(route=route)):
        bench.through_preheat()
        bench.through_weld()
        bench.record(30, "cooling after welding", "slow cooled under cover")
        bench.record(30, "uncovering temperature", "120 F")
        bench.perform(30)
        assert bench.accept(30).recorded
        refused = close(bench.shop, bench.clock, ADA, bench.number)
        assert not refused.recorded
        assert any("never inspected" in reason for reason in refused.reasons)
