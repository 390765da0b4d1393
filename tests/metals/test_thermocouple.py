"""Thermocouples: NIST's table, somebody else's code over the whole range, wrong inputs, tolerances, uncertainty."""

from itertools import pairwise
from typing import get_args

import pytest
import thermocouple_its90
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.metals.thermocouple import (
    RANGES,
    CoupleKind,
    ToleranceClass,
    emf_mv,
    reads_as,
    temperature_c,
    tolerance_c,
)
from traveler.metals.uncertainty import couple_uncertainty, expanded_uncertainty

KINDS: tuple[CoupleKind, ...] = get_args(CoupleKind)
kinds = st.sampled_from(KINDS)

# NIST ITS-90 Thermocouple Database, tables of emf in mV with the cold junction at 0 degC [seen]: K, N, J, T.
# The rows at 427 and 593.33 degC are not printed there; two independent programs agree on them.
TABLE: tuple[tuple[float, float, float, float, float | None], ...] = (
    (-40, -1.527, -1.023, -1.961, -1.475),
    (0, 0.000, 0.000, 0.000, 0.000),
    (25, 1.000, 0.659, 1.277, 0.992),
    (100, 4.096, 2.774, 5.269, 4.279),
    (200, 8.138, 5.913, 10.779, 9.288),
    (300, 12.209, 9.341, 16.327, 14.862),
    (400, 16.397, 12.974, 21.848, 20.872),
    (427, 17.540, 13.981, 23.338, None),
    (593.33, 24.622, 20.353, 32.713, None),
    (600, 24.905, 20.613, 33.102, None),
    (620, 25.755, 21.393, 34.279, None),
    (650, 27.025, 22.566, 36.071, None),
    (760, 31.628, 26.883, 42.919, None),
    (1000, 41.276, 36.256, 57.953, None),
)


def table_rows() -> list[tuple[CoupleKind, float, float]]:
    order: tuple[CoupleKind, ...] = ("K", "N", "J", "T")
    return [
        (kind, row[0], value)
        for row in TABLE
        for kind, value in zip(order, row[1:], strict=True)
        if value is not None
    ]


def whole_range(kind: CoupleKind, step_c: float) -> list[float]:
    low, high = RANGES[kind].low, RANGES[kind].high
    assert low is not None
    assert high is not None
    return [low + step_c * index for index in range(int((high - low) / step_c) + 1)] + [high]


@pytest.mark.parametrize(("kind", "at_c", "printed_mv"), table_rows())
def test_the_printed_table(kind: CoupleKind, at_c: float, printed_mv: float) -> None:
    assert emf_mv(kind, at_c) == pytest.approx(printed_mv, abs=0.0005 + 1e-9)
    if at_c != RANGES[kind].high:  # there the printed value may be rounded to more than the type ever gives
        half_a_digit_c = 0.0005 / 0.02  # over the least sensitivity in the table [mV/C deg]
        assert temperature_c(kind, printed_mv) == pytest.approx(at_c, abs=half_a_digit_c)


@pytest.mark.parametrize("kind", KINDS)
def test_every_degree_as_another_program_has_it(kind: CoupleKind) -> None:
    other = thermocouple_its90.get(kind)
    for at_c in whole_range(kind, 0.5):
        assert emf_mv(kind, at_c) == pytest.approx(other.emf(at_c), abs=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_back_again_as_another_program_has_it(kind: CoupleKind) -> None:
    other = thermocouple_its90.get(kind)
    low = RANGES[kind].low
    assert low is not None
    for at_c in whole_range(kind, 7.3):
        found = temperature_c(kind, emf_mv(kind, at_c))
        assert found == pytest.approx(at_c, abs=1e-6 if at_c > low + 1 else 1e-3)
        if at_c > -200:  # lower down the other program's iteration starts from a straight line
            assert found == pytest.approx(other.temperature(other.emf(at_c)), abs=1e-6)


@pytest.mark.parametrize("kind", KINDS)
def test_the_voltage_rises_throughout(kind: CoupleKind) -> None:
    voltages = [emf_mv(kind, at_c) for at_c in whole_range(kind, 0.25)]
    assert all(colder <= hotter for colder, hotter in pairwise(voltages))


@pytest.mark.parametrize(("kind", "seam_c"), [("J", 760.0), ("K", 0.0), ("N", 0.0), ("T", 0.0)])
def test_the_pieces_meet(kind: CoupleKind, seam_c: float) -> None:
    assert emf_mv(kind, seam_c + 1e-9) == pytest.approx(emf_mv(kind, seam_c), abs=1e-6)


@pytest.mark.parametrize(
    ("wire", "input_kind", "true_c", "junction_c", "shown_c"),
    [
        # By the printed table of type J: 24.905 mV (K at 600) lie there at 455 degC, 6.138 mV (K at 150) at 116.
        ("K", "J", 600, 0, 455),
        ("K", "J", 150, 0, 116),
        # An input that never compensates: 4.096 mV with the terminals at 25 degC are 124.3 degC on its scale.
        ("K", "K", 124.3, 25, 124.3),
    ],
)
def test_a_wrong_input(
    wire: CoupleKind, input_kind: CoupleKind, true_c: float, junction_c: float, shown_c: float
) -> None:
    assert reads_as(wire, input_kind, true_c, junction_c) == pytest.approx(shown_c, abs=0.5)


def test_millivolts_without_the_cold_junction() -> None:
    """Published examples: K at 42 degC gives 1.6938 mV; 1.1 mV, terminals at 23 degC, is 49.908 degC."""
    assert emf_mv("K", 42) == pytest.approx(1.6938, abs=5e-5)
    assert temperature_c("K", 1.1 + emf_mv("K", 23)) == pytest.approx(49.908, abs=5e-4)
    assert temperature_c("K", 4.096 + emf_mv("K", 25)) == pytest.approx(124.3, abs=0.05)


@settings(max_examples=60, deadline=None)
@given(kinds, st.floats(-40, 390), st.floats(0, 45))
def test_the_right_input_shows_the_truth(kind: CoupleKind, true_c: float, junction_c: float) -> None:
    assert reads_as(kind, kind, true_c, junction_c) == pytest.approx(true_c, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(kinds, kinds, st.floats(5, 45))
def test_a_wrong_input_is_right_at_its_own_terminals(
    wire: CoupleKind, input_kind: CoupleKind, junction_c: float
) -> None:
    assert reads_as(wire, input_kind, junction_c, junction_c) == pytest.approx(junction_c, abs=1e-6)


@pytest.mark.parametrize(("kind", "at_c"), [("J", 1201), ("K", -271), ("N", 1300.5), ("T", 401)])
def test_no_such_temperature(kind: CoupleKind, at_c: float) -> None:
    with pytest.raises(ValueError, match=f"type {kind}: temperature"):
        emf_mv(kind, at_c)


@pytest.mark.parametrize("kind", KINDS)
def test_no_temperature_and_no_voltage_at_all(kind: CoupleKind) -> None:
    with pytest.raises(ValueError, match="is no temperature"):
        emf_mv(kind, float("nan"))
    for voltage in (float("nan"), 80.0, -12.0):
        with pytest.raises(ValueError, match=f"type {kind} gives from"):
            temperature_c(kind, voltage)


# Computed by hand from max(a, b t): K at 100, 333.3, 427, 593.3, 620 degC.
@pytest.mark.parametrize(
    ("at_c", "class_1", "class_2", "standard", "special"),
    [
        (100, 1.5, 2.5, 2.2, 1.1),
        (333.3, 1.5, 2.5, 2.5, 1.33),
        (427, 1.71, 3.20, 3.20, 1.71),
        (593.3, 2.37, 4.45, 4.45, 2.37),
        (620, 2.48, 4.65, 4.65, 2.48),
    ],
)
def test_tolerances_of_type_k(
    at_c: float, class_1: float, class_2: float, standard: float, special: float
) -> None:
    classes: tuple[ToleranceClass, ...] = ("IEC class 1", "IEC class 2", "ASTM standard", "ASTM special")
    found = [tolerance_c("K", name, at_c) for name in classes]
    assert found == pytest.approx([class_1, class_2, standard, special], abs=0.005)


@pytest.mark.parametrize(
    ("kind", "name", "at_c", "expected"),
    [
        ("T", "IEC class 1", 20, 0.5), ("T", "IEC class 2", 20, 1.0), ("T", "IEC class 1", 350, 1.4),
        ("T", "ASTM special", 370, 1.48), ("T", "ASTM standard", 200, 1.5), ("N", "IEC class 2", 1200, 9.0),
        ("J", "IEC class 2", -40, 2.5), ("J", "ASTM standard", 760, 5.7), ("J", "IEC class 1", 750, 3.0),
    ],
)  # fmt: skip
def test_tolerances_of_the_other_types(
    kind: CoupleKind, name: ToleranceClass, at_c: float, expected: float
) -> None:
    assert tolerance_c(kind, name, at_c) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("kind", "name", "at_c"),
    [
        ("T", "IEC class 2", 600), ("K", "IEC class 1", 1001), ("J", "IEC class 2", 751), ("K", "ASTM special", -1),
        ("N", "IEC class 2", float("nan")),
    ],
)  # fmt: skip
def test_no_tolerance_is_stated_there(kind: CoupleKind, name: ToleranceClass, at_c: float) -> None:
    with pytest.raises(ValueError, match=f"{name}, type {kind}"):
        tolerance_c(kind, name, at_c)


def test_uncertainty_of_a_class_2_couple_with_its_recorder() -> None:
    """4.5, 1.5 and 1.0 C deg, each anywhere in its range: u 2.80, U 5.60 (constructed, computed by hand)."""
    assert expanded_uncertainty(4.5, 1.5, 1.0) == pytest.approx(2 * 2.80, abs=0.005)
    assert couple_uncertainty("K", "IEC class 2", 600, 1.5, 1.0) == pytest.approx(5.60, abs=0.005)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.floats(0, 20), min_size=1, max_size=5), st.floats(0, 20))
def test_a_further_error_never_helps(limits: list[float], further: float) -> None:
    alone, together = expanded_uncertainty(*limits), expanded_uncertainty(*limits, further)
    assert together >= alone
    assert together >= expanded_uncertainty(further)


@pytest.mark.parametrize("limits", [(), (1.0, -0.5), (float("nan"),), (float("inf"),)])
def test_no_such_limits_of_error(limits: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="limits of error"):
        expanded_uncertainty(*limits)
