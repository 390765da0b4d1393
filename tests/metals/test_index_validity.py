"""What the carbon equivalents say about a steel outside their data base, and what no composition may be."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.metals.carbon_equivalents import ce_iiw, cen, cet, index_cet, indices, pcm
from traveler.metals.composition import Composition, check_composition
from traveler.metals.transformation import andrews_ac1

TYPICAL_4130 = {"C": 0.30, "Si": 0.25, "Mn": 0.50, "Cr": 0.95, "Mo": 0.20}
FORMULAS = (ce_iiw, cet, pcm, cen)
VALIDITY = Path(__file__).parents[2] / "fixtures" / "published" / "validity.toml"
LIMITS = [
    (check["method"], symbol, least, most)
    for check in tomllib.loads(VALIDITY.read_text(encoding="utf-8"))["check"]
    for symbol, least, most in check["table"]
]

contents = st.floats(0, 3).map(lambda content: round(content, 4))
compositions = st.dictionaries(
    st.sampled_from(["C", "Si", "Mn", "Cr", "Mo", "Ni", "Cu", "V", "Nb", "B"]), contents
)


def test_4130_is_inside_one_data_base_only() -> None:
    """Box of CET [secondary]; method A, Ito and Bessyo, Yurioka [memory]."""
    assert {index.method: (index.status, index.reasons) for index in indices(TYPICAL_4130)} == {
        "CE(IIW)": ("extrapolated", ("C 0.3 % is above 0.25 %", "Cr 0.95 % is above 0.9 %")),
        "CET": ("ok", ()),
        "Pcm": ("extrapolated", ("C 0.3 % is above 0.22 %",)),
        "CEN": ("extrapolated", ("C 0.3 % is above 0.26 %",)),
    }


def test_4140_is_outside_all_of_them_and_still_has_its_numbers() -> None:
    outcomes = indices({"C": 0.40, "Mn": 0.875, "Si": 0.25, "Cr": 0.95, "Mo": 0.20})
    assert [outcome.status for outcome in outcomes] == ["extrapolated"] * 4
    assert all(outcome.value is not None and outcome.unit == "%" for outcome in outcomes)


def reasons_for(method: str, symbol: str, content: float) -> str:
    outcome = next(index for index in indices({**TYPICAL_4130, symbol: content}) if index.method == method)
    return " ".join(reason for reason in outcome.reasons if reason.startswith(f"{symbol} "))


@pytest.mark.parametrize(("method", "symbol", "least", "most"), LIMITS)
def test_each_published_limit_is_inside_and_a_little_more_is_out(
    method: str, symbol: str, least: str, most: str
) -> None:
    assert not reasons_for(method, symbol, float(most))
    assert reasons_for(method, symbol, float(most) + 0.0001).endswith(f"is above {float(most):g} %")
    if least:
        assert not reasons_for(method, symbol, float(least))
        assert reasons_for(method, symbol, float(least) - 0.0001).endswith(f"is below {float(least):g} %")
    else:
        assert not reasons_for(method, symbol, 0.0)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"C": 0.33}, "C 0.33 % is above 0.32 %"),
        ({"C": 0.04}, "C 0.04 % is below 0.05 %"),
        ({"Mn": 0.49}, "Mn 0.49 % is below 0.5 %"),
        ({"Ti": 0.13}, "Ti 0.13 % is above 0.12 %"),
        ({"B": 0.006}, "B 0.006 % is above 0.005 %"),
    ],
)
def test_each_element_that_is_out_is_named(change: Composition, sentence: str) -> None:
    outcome = index_cet({**TYPICAL_4130, **change})
    assert (outcome.status, outcome.reasons) == ("extrapolated", (sentence,))


@pytest.mark.parametrize(
    "composition", [{"C": -0.01}, {"C": 100.5}, {"C": float("nan")}, {"mn": 0.5}, {"CEV": 0.45}]
)
def test_no_such_composition(composition: Composition) -> None:
    with pytest.raises(ValueError, match="|".join(composition)):
        check_composition(composition)
    for formula in (*FORMULAS, andrews_ac1):
        with pytest.raises(ValueError, match="|".join(composition)):
            formula(composition)


@settings(max_examples=60, deadline=None)
@given(compositions)
def test_the_shares_of_the_elements_add_up(composition: Composition) -> None:
    for outcome in indices(composition):
        assert sum(outcome.parts.values()) == pytest.approx(outcome.value, abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(compositions, st.sampled_from(["C", "Mn", "Cr", "Mo", "Ni", "Cu"]), contents)
def test_an_element_more_never_lowers_an_index(composition: Composition, symbol: str, more: float) -> None:
    richer = {**composition, symbol: composition.get(symbol, 0.0) + more}
    for formula in FORMULAS:
        assert formula(richer) >= formula(composition)


def test_the_lower_critical_temperature_says_how_good_it_is() -> None:
    outcome = andrews_ac1(TYPICAL_4130)
    assert (outcome.method, outcome.unit, outcome.status) == ("Andrews Ac1", "degC", "ok")
    assert outcome.reasons == ("good to about 20 degC either way",)


def test_arsenic_and_tungsten_raise_the_lower_critical_temperature() -> None:
    """By hand: 290 x 0.02 = 5.8 and 6.38 x 0.5 = 3.19."""
    assert andrews_ac1({"As": 0.02, "W": 0.5}).value == 723 + 5.8 + 3.19


def test_a_tool_steel_stretches_the_lower_critical_temperature() -> None:
    outcome = andrews_ac1({"C": 1.0, "Cr": 5.25, "Mn": 0.6})
    assert outcome.status == "extrapolated"
    assert outcome.reasons[:2] == ("C 1 % is above 0.6 %", "Cr 5.25 % is above 5 %")
