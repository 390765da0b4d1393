"""The table of units against published values and against pint, and what may be compared with what."""

import subprocess
import sys
from fractions import Fraction
from pathlib import Path

import pint
import pytest

from traveler.errors import BadInput
from traveler.quantity.beyond import beyond_table, known
from traveler.quantity.parse import QuantityError, parse_quantity, stored, unit
from traveler.quantity.quantity import comparable, compare
from traveler.quantity.units import BY_NAME, BY_SYMBOL, CANONICAL, Kind, Unit, find

# What pint calls each unit of the table. It knows no hardness scales.
PINT_NAMES = {
    "degC": "degC",
    "degF": "degF",
    "K": "kelvin",
    "delta_degC": "delta_degC",
    "delta_degF": "delta_degF",
    "delta_degC/h": "delta_degC/hour",
    "delta_degF/h": "delta_degF/hour",
    "delta_degC/min": "delta_degC/minute",
    "delta_degF/min": "delta_degF/minute",
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "in": "inch",
    "ft": "foot",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "mm/s": "millimeter/second",
    "mm/min": "millimeter/minute",
    "cm/min": "centimeter/minute",
    "m/min": "meter/minute",
    "in/min": "inch/minute",
    "kJ/mm": "kilojoule/millimeter",
    "kJ/cm": "kilojoule/centimeter",
    "kJ/in": "kilojoule/inch",
    "J/mm": "joule/millimeter",
    "J/in": "joule/inch",
    "kJ": "kilojoule",
    "J": "joule",
    "kW": "kilowatt",
    "W": "watt",
    "V": "volt",
    "A": "ampere",
    "MPa": "megapascal",
    "ksi": "kip/inch**2",
}
HARDNESS = {"HV", "HB", "HRC"}


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    return pint.UnitRegistry(non_int_type=Fraction)


def test_every_unit_of_the_table_has_its_check_against_pint() -> None:
    assert set(PINT_NAMES) | HARDNESS == set(BY_SYMBOL)


@pytest.mark.parametrize("number", [Fraction(0), Fraction(1), Fraction(446), Fraction(-1, 3)])
@pytest.mark.parametrize("symbol", PINT_NAMES)
def test_unit_equals_pint_exactly(registry: pint.UnitRegistry, symbol: str, number: Fraction) -> None:
    ours = BY_SYMBOL[symbol]
    canonical = PINT_NAMES[CANONICAL[ours.kind]]
    expected = registry.Quantity(number, PINT_NAMES[symbol]).to(canonical).magnitude
    assert ours.to_canonical(number) == expected
    assert ours.from_canonical(expected) == number


@pytest.mark.parametrize(
    ("text", "kind", "canonical"),
    [
        # NIST SP 811 appendix B: t/°C = (t/°F - 32) / 1.8. Fixed points of water; where the scales meet:
        ("32 F", Kind.TEMPERATURE, "0"),
        ("212 F", Kind.TEMPERATURE, "100"),
        ("-40 F", Kind.TEMPERATURE, "-40"),
        ("446 F", Kind.TEMPERATURE, "230"),
        ("1112 F", Kind.TEMPERATURE, "600"),
        ("1202 F", Kind.TEMPERATURE, "650"),
        ("273.15 K", Kind.TEMPERATURE, "0"),
        # NIST SP 811 B.8: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 yd = 0.9144 m, exactly
        ("1/4 in", Kind.LENGTH, "6.35"),
        ("1-1/4 in", Kind.LENGTH, "31.75"),
        ("0.120 in", Kind.LENGTH, "3.048"),
        ("1 ft", Kind.LENGTH, "304.8"),
        ("0.5 yard", Kind.LENGTH, "457.2"),
        # NIST SP 811 B.8: degree Rankine is 5/9 K, so 671.67 °R is 100 °C
        ("671.67 degR", Kind.TEMPERATURE, "100"),
        ("9 degR", Kind.SPAN, "5"),
        # 80 degrees Réaumur is the boiling point of water, by the definition of that scale
        ("80 degRe", Kind.TEMPERATURE, "100"),
        ("4 delta_degRe", Kind.SPAN, "5"),
        # by counting: inches a minute, hours, and a unit of power by time by length
        ("60 in/min", Kind.SPEED, "25.4"),
        ("1.5 h", Kind.TIME, "5400"),
        ("1 kJ/in", Kind.ARC_ENERGY, "5/127"),
        ("1000 J/mm", Kind.ARC_ENERGY, "1"),
        ("10 kJ/cm", Kind.ARC_ENERGY, "1"),
    ],
)
def test_exact_values(text: str, kind: Kind, canonical: str) -> None:
    assert parse_quantity(text, kind).canonical == Fraction(canonical)


@pytest.mark.parametrize(
    ("text", "kind", "rounded"),
    [
        # (°F - 32) / 1.8 worked by hand to two places
        ("800 F", Kind.TEMPERATURE, "426.67"),
        ("600 F", Kind.TEMPERATURE, "315.56"),
        ("1100 F", Kind.TEMPERATURE, "593.33"),
        # ASME VIII-1 UCS-56 prints 250 F° beside 139 or 140 C°, 400 F°/h beside 222 C°/h: no 32 in it
        ("250 F", Kind.SPAN, "138.89"),
        ("50 F", Kind.SPAN, "27.78"),
        ("400 F/h", Kind.RATE, "222.22"),
        ("600 F/h", Kind.RATE, "333.33"),
    ],
)
def test_values_without_an_end(text: str, kind: Kind, rounded: str) -> None:
    assert round(parse_quantity(text, kind).canonical, 2) == Fraction(rounded)


def test_no_name_stands_for_two_units_of_a_kind() -> None:
    for (kind, name), meant in BY_NAME.items():
        assert find(name, kind) is meant
        assert meant.kind is kind
    for meant in BY_SYMBOL.values():
        assert find(meant.symbol, meant.kind) is meant
        assert find(meant.label, meant.kind) is meant


@pytest.mark.parametrize(
    ("a", "b", "order"),
    [
        ("446 degF", "230 degC", 0),
        ("446.1 degF", "230 degC", 1),
        ("445.9 degF", "230 degC", -1),
        ("300 degF", "300.0 degF", 0),
        ("1/4 in", "6.35 mm", 0),
        ("594.0 degC", "1100 degF", 1),
        ("594.0 degC", "595 degC", -1),
        ("30 HRC", "31 HRC", -1),
    ],
)
def test_compare_is_exact(a: str, b: str, order: int) -> None:
    left, right = (stored(*side.split(" ")) for side in (a, b))
    assert compare(left, right) == order
    assert compare(right, left) == -order


@pytest.mark.parametrize(
    ("a", "b"), [("350 HV", "350 HB"), ("22 HRC", "248 HV"), ("50 degF", "50 delta_degF"), ("1 mm", "1 s")]
)
def test_what_cannot_be_compared(a: str, b: str) -> None:
    left, right = (stored(*side.split(" ")) for side in (a, b))
    assert not comparable(left, right)
    with pytest.raises(ValueError, match="cannot be compared"):
        compare(left, right)


@pytest.mark.parametrize(
    ("symbol", "kind"),
    [("degF", Kind.TEMPERATURE), ("delta_degR", Kind.SPAN), ("degR/min", Kind.RATE), ("thou", Kind.LENGTH)],
)
def test_unit_by_its_stored_symbol(symbol: str, kind: Kind) -> None:
    assert (unit(symbol).symbol, unit(symbol).kind) == (symbol, kind)


@pytest.mark.parametrize(
    "symbol", ["", "F", "blorg", "newton", "mm; drop", "1", "a/b/c", "delta_yard", "x" * 10**6]
)
def test_unknown_symbol_is_refused(symbol: str) -> None:
    with pytest.raises(QuantityError, match="no such unit is stored") as refused:
        unit(symbol)
    assert len(str(refused.value)) < 150


def test_a_force_is_no_arc_energy() -> None:
    """A newton is a joule per metre on paper, and nobody means arc energy by it."""
    assert known("newton")
    assert beyond_table("newton", Kind.ARC_ENERGY) is None
    assert beyond_table("kJ/m", Kind.ARC_ENERGY) == Unit("kJ/m", "kJ/m", Kind.ARC_ENERGY, Fraction(1, 1000))


def test_every_name_of_pint_is_exact_or_refused(registry: pint.UnitRegistry) -> None:
    """Logarithmic units, offset units, constants, roots: none comes through as a float or a traceback."""
    names = list(registry)
    assert len(names) > 900
    for name in names:
        found = beyond_table(name, Kind.LENGTH)
        assert found is None or (isinstance(found.factor, Fraction) and found.factor > 0)


def test_error_is_bad_input() -> None:
    assert issubclass(QuantityError, BadInput)


def test_pint_is_loaded_only_for_a_unit_beyond_the_table() -> None:
    program = """
import sys
import traveler.quantity.arc_typed, traveler.quantity.show
from traveler.quantity.parse import parse_quantity, stored
from traveler.quantity.units import Kind
parse_quantity("1-1/4 in", Kind.LENGTH)
stored("300", "degF")
assert "pint" not in sys.modules
parse_quantity("1 yard", Kind.LENGTH)
assert "pint" in sys.modules
"""
    subprocess.run([sys.executable, "-c", program], check=True, timeout=60)


def test_pint_needs_no_folder_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    nowhere = tmp_path / "file, not a folder"
    nowhere.write_text("")
    for variable in ("HOME", "XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.setenv(variable, str(nowhere))
    program = """
from traveler.quantity.parse import parse_quantity
from traveler.quantity.units import Kind
assert parse_quantity("5 yard", Kind.LENGTH).canonical == 4572
"""
    subprocess.run([sys.executable, "-c", program], check=True, timeout=60)
