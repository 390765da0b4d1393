"""Seferian's rule, SEW 088 beside method B, and the no-preheat gate of EN 1011-2 method A."""

import tomllib
from collections.abc import Iterator, Mapping
from decimal import Decimal, localcontext
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.metals.composition import Composition
from traveler.metals.en1011_method_a import combined_thickness_mm, hydrogen_scale, no_preheat_up_to_mm
from traveler.metals.en1011_method_b import preheat_method_b
from traveler.metals.outcome import Outcome
from traveler.metals.seferian import preheat_seferian
from traveler.metals.sew_088 import preheat_sew_088

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published"
TYPICAL_4130 = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
S355 = {"C": 0.16, "Mn": 1.40, "Si": 0.30}


def rows(file: str, method: str) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    for check in tomllib.loads((PUBLISHED / file).read_text(encoding="utf-8"))["check"]:
        if check["method"] == method:
            for values in check["table"]:
                yield check, dict(zip(check["columns"], values, strict=True))


def number(outcome: Outcome) -> float:
    assert outcome.value is not None
    return outcome.value


# --- Seferian ---


def seferian_over_360(composition: Mapping[str, float], thickness_mm: str) -> Decimal:
    """By the author's own weights, in 40 digits."""
    with localcontext(prec=40):
        e = {symbol: Decimal(str(content)) for symbol, content in composition.items()}
        weighted = 360 * e["C"] + 40 * (e["Mn"] + e["Cr"]) + 20 * e.get("Ni", Decimal(0)) + 28 * e["Mo"]
        total = weighted / 360 * (1 + Decimal("0.005") * Decimal(thickness_mm))
        return 350 * (total - Decimal("0.25")).sqrt()


@pytest.mark.parametrize(("check", "row"), [*rows("preheat_gates.toml", "Seferian")])
def test_seferian(check: dict[str, Any], row: dict[str, Any]) -> None:
    value = number(preheat_seferian(row["composition"], float(row["thickness_mm"])))
    assert value == pytest.approx(float(row["result"]), abs=float(check["tolerance"]))
    assert value == pytest.approx(float(seferian_over_360(row["composition"], row["thickness_mm"])), abs=1e-9)


def test_seferian_counts_every_element_once() -> None:
    """Nickel at 1/18 and molybdenum at 28/360 of carbon, by hand: 0.30 + 0.05 + 0.0778 = 0.4278."""
    outcome = preheat_seferian({"C": 0.30, "Ni": 0.90, "Mo": 1.0}, 10)
    assert outcome.inputs["chemical_equivalent"] == pytest.approx(0.30 + 0.05 + 28 / 360)
    assert outcome.inputs["total_equivalent"] == pytest.approx((0.35 + 28 / 360) * 1.05)


def test_seferian_asks_for_none_in_words() -> None:
    outcome = preheat_seferian({"C": 0.10, "Mn": 0.50}, 10)
    assert outcome.value == 0.0
    assert outcome.reasons == ("the rule asks for no preheat: its total equivalent is not above 0.25 %",)


@pytest.mark.parametrize("thickness_mm", [0.0, -3.0, float("nan"), float("inf")])
def test_seferian_takes_no_such_thickness(thickness_mm: float) -> None:
    with pytest.raises(ValueError, match="thickness_mm"):
        preheat_seferian(TYPICAL_4130, thickness_mm)


@settings(max_examples=50, deadline=None)
@given(st.floats(1, 200), st.floats(1, 200), st.floats(0.05, 0.6), st.floats(0, 0.3))
def test_seferian_never_asks_less_for_more(
    one_mm: float, other_mm: float, carbon: float, more: float
) -> None:
    thin, thick = sorted((one_mm, other_mm))
    lean, rich = {"C": carbon, "Mn": 0.8}, {"C": carbon + more, "Mn": 0.8}
    assert number(preheat_seferian(lean, thin)) <= number(preheat_seferian(lean, thick))
    assert number(preheat_seferian(lean, thick)) <= number(preheat_seferian(rich, thick))


# --- SEW 088 ---


def closed_sew_088(row: Mapping[str, str]) -> Decimal:
    """One line in 40 digits; tanh and the power by way of exp and ln."""
    with localcontext(prec=40):
        cet, heat_input = Decimal(row["cet"]), Decimal(row["heat_input_kj_mm"])
        twice = (2 * Decimal(row["thickness_mm"]) / 35).exp()
        hydrogen = (Decimal("0.35") * Decimal(row["hydrogen_ml_100g"]).ln()).exp()
        thickness = 160 * (twice - 1) / (twice + 1)
        return 700 * cet + thickness + 62 * hydrogen + (53 * cet - 32) * heat_input - 330


SEW_ROWS = [(check, row) for check, row in rows("method_b.toml", "EN 1011-2 method B") if "sew_088" in row]


@pytest.mark.parametrize(("check", "row"), SEW_ROWS)
def test_sew_088(check: dict[str, Any], row: dict[str, str]) -> None:
    numbers = [float(row[key]) for key in ("cet", "thickness_mm", "hydrogen_ml_100g", "heat_input_kj_mm")]
    outcome = preheat_sew_088(*numbers)
    assert number(outcome) == pytest.approx(float(row["sew_088"]), abs=float(check["tolerance"]))
    assert number(outcome) == pytest.approx(float(closed_sew_088(row)), abs=1e-9)
    assert sum(outcome.parts.values()) == outcome.value
    assert (outcome.method, outcome.status) == ("SEW 088", row["status"])


def test_sew_088_is_silent_where_method_b_is() -> None:
    rich = {"C": 0.40, "Mn": 0.875, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
    outcome, method_b = (rule(0.555, 25, 5, 1.0, rich) for rule in (preheat_sew_088, preheat_method_b))
    assert (outcome.status, outcome.value, outcome.parts) == ("not applicable", None, {})
    assert outcome.reasons == method_b.reasons


# --- method A ---

COLUMNS = {
    "ce_049_q1": (0.49, 1.0),
    "ce_049_q2": (0.49, 2.0),
    "ce_043_q1": (0.43, 1.0),
    "ce_043_q2": (0.43, 2.0),
}


@pytest.mark.parametrize(("check", "row"), [*rows("preheat_gates.toml", "table C.1")])
def test_each_number_of_table_c_1(check: dict[str, Any], row: dict[str, str]) -> None:
    for column, (ce_iiw, heat_input) in COLUMNS.items():
        outcome = no_preheat_up_to_mm(ce_iiw, float(row["hydrogen_ml_100g"]), heat_input, S355)
        assert (outcome.value, outcome.status, outcome.unit) == (float(row[column]), "ok", "mm")


@pytest.mark.parametrize(("check", "row"), [*rows("preheat_gates.toml", "gate")])
def test_the_gate(check: dict[str, Any], row: dict[str, Any]) -> None:
    numbers = [float(row[key]) for key in ("ce_iiw", "hydrogen_ml_100g", "heat_input_kj_mm")]
    combined_mm = combined_thickness_mm([float(member) for member in row["members_mm"]])
    assert (combined_mm <= number(no_preheat_up_to_mm(*numbers))) is row["no_preheat"]


@pytest.mark.parametrize(
    ("ce_iiw", "hydrogen", "heat_input", "expected_mm"),
    [
        (0.4301, 4, 1.0, 50.0),  # never the thicker column for a steel that is a little richer
        (0.30, 4, 1.0, 100.0),
        (0.43, 10.01, 1.0, 50.0),
        (0.43, 0.0, 1.0, 100.0),
        (0.49, 8, 1.99, 35.0),  # never the thicker column for a little less heat
        (0.49, 8, 2.0, 65.0),
        (0.49, 8, 5.0, 65.0),
    ],
)
def test_nothing_lies_between_the_columns(
    ce_iiw: float, hydrogen: float, heat_input: float, expected_mm: float
) -> None:
    assert no_preheat_up_to_mm(ce_iiw, hydrogen, heat_input, S355).value == expected_mm


@pytest.mark.parametrize(
    ("ce_iiw", "heat_input", "composition", "status", "sentence"),
    [
        (0.50, 1.0, S355, "not tabulated", "CE(IIW) 0.5 % is above 0.49 %"),
        (0.43, 0.9, S355, "not tabulated", "heat input 0.9 kJ/mm is below 1 kJ/mm"),
        (0.43, 1.0, {"C": 0.26, "Mn": 1.0}, "not applicable", "C 0.26 % is above 0.25 %"),
        (0.613, 1.0, TYPICAL_4130, "not applicable", "C 0.3 % is above 0.25 %"),
    ],
)
def test_says_nothing(
    ce_iiw: float, heat_input: float, composition: Composition, status: str, sentence: str
) -> None:
    outcome = no_preheat_up_to_mm(ce_iiw, 5, heat_input, composition)
    assert (outcome.status, outcome.value) == (status, None)
    assert outcome.reasons[0] == sentence


def test_lean_steel_is_stretched_to_the_safe_side() -> None:
    outcome = no_preheat_up_to_mm(0.30, 5, 1.0, {"C": 0.04, "Mn": 1.5})
    assert (outcome.status, outcome.value) == ("extrapolated", 100.0)
    assert outcome.reasons == ("C 0.04 % is below 0.05 %",)


def test_an_unknown_composition_is_said() -> None:
    assert no_preheat_up_to_mm(0.43, 5, 1.0).reasons == (
        "the composition is not given, so its limits were not checked",
    )


@pytest.mark.parametrize(
    ("ce_iiw", "hydrogen", "heat_input"), [(-0.1, 5, 1), (float("nan"), 5, 1), (0.4, -1, 1), (0.4, 5, 0)]
)
def test_no_such_joint(ce_iiw: float, hydrogen: float, heat_input: float) -> None:
    with pytest.raises(ValueError, match=r"ce_iiw|hydrogen_ml_100g|heat_input_kj_mm"):
        no_preheat_up_to_mm(ce_iiw, hydrogen, heat_input)


@pytest.mark.parametrize("members_mm", [[], [0.0], [10.0, -1.0], [float("nan")]])
def test_no_such_members(members_mm: list[float]) -> None:
    with pytest.raises(ValueError, match="members_mm"):
        combined_thickness_mm(members_mm)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0, 0.49),
    st.floats(0, 0.49),
    st.floats(0, 40),
    st.floats(0, 40),
    st.floats(1, 5),
    st.floats(1, 5),
)
def test_more_carbon_more_hydrogen_and_less_heat_never_open_the_gate(
    one_ce: float, other_ce: float, one_h: float, other_h: float, one_q: float, other_q: float
) -> None:
    (lean, rich), (dry, wet), (cold, hot) = (
        sorted((one_ce, other_ce)),
        sorted((one_h, other_h)),
        sorted((one_q, other_q)),
    )
    assert number(no_preheat_up_to_mm(rich, wet, cold)) <= number(no_preheat_up_to_mm(lean, dry, hot))
    assert hydrogen_scale(wet) <= hydrogen_scale(dry)
