"""Quantities as they are read: typed form first, the other system beside it, rounding on exact fractions."""

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.quantity.parse import parse_quantity, stored
from traveler.quantity.show import decimal_text, finite_decimal, rounded_down, rounded_up, show, show_both
from traveler.quantity.units import BY_SYMBOL, Kind


@pytest.mark.parametrize(
    ("number", "symbol", "shown"),
    [
        # NIST SP 811 factors, worked by hand; rates and differences by the factor alone
        ("300", "degF", "300 °F (148.9 °C)"),
        ("446", "degF", "446 °F (230.0 °C)"),
        ("150", "degC", "150 °C (302.0 °F)"),
        ("-17.8", "degC", "-17.8 °C (0.0 °F)"),
        ("295", "K", "295 K (21.8 °C)"),
        ("250", "delta_degF", "250 F° (138.9 C°)"),
        ("50", "delta_degF", "50 F° (27.8 C°)"),
        ("100", "delta_degF/h", "100 F°/h (55.6 C°/h)"),
        ("200", "delta_degC/h", "200 C°/h (360.0 F°/h)"),
        ("0.120", "in", "0.120 in (3.0 mm)"),
        ("1-1/4", "in", "1-1/4 in (31.8 mm)"),
        ("6.35", "mm", "6.35 mm (0.250 in)"),
        ("1", "kJ/in", "1 kJ/in (0.039 kJ/mm)"),
        ("1.0", "kJ/mm", "1.0 kJ/mm (25.4 kJ/in)"),
        ("90", "mm/min", "90 mm/min (3.5 in/min)"),
        ("350", "HV", "350 HV"),
        ("22", "HRC", "22 HRC"),
        ("12", "V", "12 V"),
        ("90", "min", "90 min"),
        ("0.5", "yard", "0.5 yard (457.2 mm)"),
        ("671.67", "degR", "671.67 degR (100.0 °C)"),
        ("9", "delta_degR", "9 degR (5.0 C°)"),
        ("1", "mph", "1 mph (447.04 mm/s)"),
    ],
)
def test_show_both(number: str, symbol: str, shown: str) -> None:
    assert show_both(stored(number, symbol)) == shown


def test_show_is_what_was_typed() -> None:
    assert show(parse_quantity(" 1 1/4 inches", Kind.LENGTH)) == "1 1/4 in"
    assert show(parse_quantity("300.0f", Kind.TEMPERATURE)) == "300.0 °F"


@pytest.mark.parametrize("symbol", BY_SYMBOL)
def test_every_unit_is_shown(symbol: str) -> None:
    assert show_both(stored("1", symbol)).startswith(f"1 {BY_SYMBOL[symbol].label}")


@pytest.mark.parametrize(
    ("value", "places", "nearest", "up", "down"),
    [
        ("1340/9", 1, "148.9", "148.9", "148.8"),
        ("230", 1, "230.0", "230.0", "230.0"),
        ("0.25", 1, "0.2", "0.3", "0.2"),
        ("0.35", 1, "0.4", "0.4", "0.3"),
        ("-0.04", 1, "0.0", "0.0", "-0.1"),
        ("-0.05", 1, "0.0", "0.0", "-0.1"),
        ("-0.06", 1, "-0.1", "0.0", "-0.1"),
        ("-1/3", 0, "0", "0", "-1"),
        ("2.5", 0, "2", "3", "2"),
        ("0.007", 3, "0.007", "0.007", "0.007"),
        ("-12.34", 1, "-12.3", "-12.3", "-12.4"),
    ],
)
def test_rounding(value: str, places: int, nearest: str, up: str, down: str) -> None:
    exact = Fraction(value)
    assert (decimal_text(exact, places), rounded_up(exact, places), rounded_down(exact, places)) == (
        nearest,
        up,
        down,
    )


@given(st.decimals(-(10**6), 10**6, places=6), st.integers(0, 5))
def test_rounding_agrees_with_the_decimal_module(value: Decimal, places: int) -> None:
    step, exact = Decimal(1).scaleb(-places), Fraction(value)
    for text, rounding in (
        (decimal_text(exact, places), ROUND_HALF_EVEN),
        (rounded_up(exact, places), ROUND_CEILING),
        (rounded_down(exact, places), ROUND_FLOOR),
    ):
        assert Decimal(text) == value.quantize(step, rounding)
        assert len(text.partition(".")[2]) == places
        assert not (text.startswith("-") and Decimal(text) == 0)


@given(st.fractions())
def test_rounding_never_crosses_the_value(value: Fraction) -> None:
    assert Fraction(rounded_down(value, 2)) <= value <= Fraction(rounded_up(value, 2))


@pytest.mark.parametrize(
    ("value", "text"), [("6/5", "1.2"), ("1", "1"), ("1/8", "0.125"), ("-1/16", None), ("1/3", None)]
)
def test_finite_decimal(value: str, text: str | None) -> None:
    assert finite_decimal(Fraction(value), 3) == text
