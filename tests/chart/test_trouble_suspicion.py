"""Couples that look wrongly connected, and those that only look so to a hasty eye."""

from itertools import permutations
from typing import get_args

import pytest
from course_kit import LAGS, A, C, Course, D, H, chart_of, furnace_run

from traveler.chart.cleaning.trouble import usable
from traveler.chart.model import Options
from traveler.metals.thermocouple import CoupleKind, reads_as

OPTIONS = Options()
ROOM_C = 20.0
PAIRS = [
    pair for pair in permutations(get_args(CoupleKind), 2) if "T" not in pair  # T ends at 400 degC
]  # fmt: skip
BAKE: Course = ((0, 20), (120, 320), (360, 320), (480, 60))


def notes(columns: dict[str, list[float]]) -> tuple[str, ...]:
    return usable(chart_of(columns), OPTIONS).notes


@pytest.mark.parametrize("course", [A, C, D, H, BAKE])
@pytest.mark.parametrize("lags", [LAGS, (0,), (0, 30), (0, 0, 45)])
def test_nothing_is_said_of_sound_couples(course: Course, lags: tuple[int, ...]) -> None:
    assert notes(furnace_run(course, lags)) == ()


@pytest.mark.parametrize(("wire", "input_kind"), PAIRS)
@pytest.mark.parametrize("junction_c", [15.0, 25.0, 35.0])
def test_a_wire_of_another_type(wire: CoupleKind, input_kind: CoupleKind, junction_c: float) -> None:
    run = furnace_run(A)
    run["TC3"] = [reads_as(wire, input_kind, value, junction_c) for value in run["TC3"]]
    (note,) = notes(run)
    shown = reads_as(wire, input_kind, 610, 25)
    assert note.startswith(f"TC3 reads as a type {wire} couple on a type {input_kind} input would: ")
    read = float(note.split(": ")[1].split(" ")[0])
    assert read == pytest.approx(shown, abs=16)
    assert note.endswith("where the others read 610 °C")


@pytest.mark.parametrize(("wire", "input_kind"), [("N", "T"), ("K", "J"), ("J", "K")])
def test_a_wire_of_another_type_on_a_bake(wire: CoupleKind, input_kind: CoupleKind) -> None:
    run = furnace_run(BAKE)
    run["TC2"] = [reads_as(wire, input_kind, value, 25) for value in run["TC2"]]
    assert notes(run)[0].startswith(f"TC2 reads as a type {wire} couple on a type {input_kind} input would")


def test_fahrenheit() -> None:
    run = furnace_run(A)
    run["TC3"] = [reads_as("K", "J", value, 25) for value in run["TC3"]]
    columns = {name: [value * 1.8 + 32 for value in values] for name, values in run.items()}
    (note,) = usable(chart_of(columns, unit="degF"), OPTIONS).notes
    shown_f = reads_as("K", "J", 610, 25) * 1.8 + 32
    assert note == (
        "TC3 reads as a type K couple on a type J input would: "
        f"{shown_f:.0f} °F where the others read 1130 °F"
    )


def test_the_verdict_does_not_change() -> None:
    run = furnace_run(A)
    run["TC3"] = [reads_as("K", "J", value, 25) for value in run["TC3"]]
    assert usable(chart_of(run), OPTIONS).criterion.verdict == "met"


@pytest.mark.parametrize("off", [-60.0, 45.0, 80.0])
def test_metal_that_is_hotter_or_colder_is_no_wire_of_another_type(off: float) -> None:
    """An offset that grows with the temperature, as of a couple that sits in the flame or in the draught."""
    run = furnace_run(A)
    run["TC1"] = [value + off * (value - ROOM_C) / 590 for value in run["TC1"]]
    assert notes(run) == ()


def test_crossed_leads() -> None:
    """A couple whose wires are swapped mirrors the temperature about that of the terminals."""
    run = furnace_run(A)
    run["TC2"] = [2 * 25.0 - value for value in run["TC2"]]
    (note,) = notes(run)
    assert note.startswith("TC2 falls from 30 °C to ")
    assert note.endswith("its leads may be crossed")


@pytest.mark.parametrize(("off", "said"), [(15.0, False), (15.5, True), (-21.0, True)])
def test_an_offset_from_the_cold_start_on(off: float, said: bool) -> None:
    run = furnace_run(A)
    run["TC4"] = [value + off for value in run["TC4"]]
    found = notes(run)
    assert bool(found) is said
    if said:
        side = "above" if off > 0 else "below"
        assert found[0].startswith(
            f"TC4 starts at {ROOM_C + off:.0f} °C, {abs(off):.0f} C° {side} the others"
        )


def test_a_hot_start_says_nothing_of_the_cold_junction() -> None:
    """A part that comes hot from the weld is not as hot everywhere."""
    run = {name: [max(value, 150.0) for value in values] for name, values in furnace_run(A).items()}
    run["TC1"] = [value + 30.0 if row < 40 else value for row, value in enumerate(run["TC1"])]
    assert not any("starts at" in note for note in notes(run))


def test_a_couple_alone_is_held_against_nothing() -> None:
    assert notes({"TC1": [50.0 - row for row in range(60)]}) == ()


def test_what_is_unknown_is_no_evidence() -> None:
    """A couple that is open at the start, and reads nonsense there, is not said to start off the others."""
    run = furnace_run(A)
    run["TC4"][:20] = [float("nan")] * 20
    assert notes(run) == ()
