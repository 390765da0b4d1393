"""The row of a thickness table: between two rows the thicker one, with a grace of 0.1 mm in whatever unit."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from traveler.library.load import load_library
from traveler.library.model import ThicknessRow, ThicknessTable, Units
from traveler.library.thickness import row_for
from traveler.quantity.parse import parse_quantity
from traveler.quantity.quantity import Quantity
from traveler.quantity.units import BY_SYMBOL, Kind

TABLES = sorted(load_library().preheat_tables)
LADDER = load_library().preheat_tables["grade table 4130"]
GRACE_MM = Fraction(1, 10)


def inches(text: str) -> Quantity:
    return parse_quantity(text, Kind.LENGTH)


def millimetres(number: Fraction) -> Quantity:
    return Quantity(str(float(number)), number, BY_SYMBOL["mm"])


def end_of(row: ThicknessRow) -> str | None:
    return None if row.up_to is None or row.up_to.inch is None else row.up_to.inch.text


# Common practice for 4130, no published source.
@pytest.mark.parametrize(
    ("thickness", "minimum_f", "row"),
    [
        ("0.065 in", 200, "1/8"),
        ("1/8 in", 200, "1/8"),
        ("3.2 mm", 200, "1/8"),
        ("3/16 in", 300, "1/4"),
        ("1/4 in", 300, "1/4"),
        ("6.4 mm", 300, "1/4"),
        ("6.5 mm", 400, "3/8"),
        ("9.5 mm", 400, "3/8"),
        ("3/8 in", 400, "3/8"),
        ("9.6 mm", 400, "3/8"),
        ("9.7 mm", 400, "3/4"),
        ("10 mm", 400, "3/4"),
        ("3/4 in", 400, "3/4"),
        ("0.76 in", 500, "2-1/2"),
        ("1 in", 500, "2-1/2"),
        ("2-1/2 in", 500, "2-1/2"),
        ("2.51 in", 600, None),
    ],
)
def test_4130_by_thickness(thickness: str, minimum_f: int, row: str | None) -> None:
    found = row_for(LADDER, inches(thickness), "inch")
    assert found.minimum.inch is not None
    assert found.minimum.inch.number == minimum_f
    assert end_of(found) == row
    assert found.confirm_route == (row is None)


def test_the_grace_is_exact() -> None:
    """1/4 in is 6.35 mm: 6.45 mm still is that row, one part in a billion more is the next."""
    assert end_of(row_for(LADDER, millimetres(Fraction("6.45")), "metric")) == "1/4"
    assert end_of(row_for(LADDER, millimetres(Fraction("6.45") + Fraction(1, 10**9)), "metric")) == "3/8"


# AWS D1.1/D1.1M:2015 table 3.3, read in a copy: the unit systems have different ends (3/4 in beside 20 mm).
@pytest.mark.parametrize(
    ("thickness", "units", "minimum_c"),
    [
        ("20 mm", "metric", 0),
        ("20 mm", "inch", 10),
        ("1-1/2 in", "metric", 10),
        ("38 mm", "metric", 10),
        ("40 mm", "metric", 65),
    ],
)
def test_units_choose_the_printed_end(thickness: str, units: Units, minimum_c: int) -> None:
    table = load_library().preheat_tables["AWS D1.1 category B"]
    found = row_for(table, inches(thickness), units)
    assert found.minimum.metric is not None
    assert found.minimum.metric.canonical == minimum_c


@pytest.mark.parametrize("nothing", ["0 in", "-1/4 in"])
def test_no_thickness_is_refused(nothing: str) -> None:
    with pytest.raises(ValueError, match="no thickness"):
        row_for(LADDER, inches(nothing), "inch")


def test_a_table_without_an_open_end_is_refused_above_it() -> None:
    table = ThicknessTable("short", "short", LADDER.rows[:2], GRACE_MM, LADDER.source)
    with pytest.raises(ValueError, match="short ends below 1/2 in"):
        row_for(table, inches("1/2 in"), "inch")


THICKNESSES_MM = st.fractions(min_value=Fraction(1, 2), max_value=150, max_denominator=10_000)


@settings(max_examples=150)
@given(st.sampled_from(TABLES), THICKNESSES_MM, THICKNESSES_MM, st.sampled_from(["inch", "metric"]))
def test_thicker_never_lowers_the_minimum(name: str, one: Fraction, other: Fraction, units: Units) -> None:
    table = load_library().preheat_tables[name]
    thin, thick = (row_for(table, millimetres(size), units).minimum for size in sorted((one, other)))
    assert thin.for_units(units).canonical <= thick.for_units(units).canonical


@settings(max_examples=150)
@given(st.sampled_from(TABLES), THICKNESSES_MM, st.sampled_from(["inch", "metric"]))
def test_a_part_is_never_thicker_than_its_row_and_grace(name: str, size_mm: Fraction, units: Units) -> None:
    table = load_library().preheat_tables[name]
    row = row_for(table, millimetres(size_mm), units)
    below = [other.up_to for other in table.rows[: table.rows.index(row)] if other.up_to is not None]
    assert row.up_to is None or size_mm <= row.up_to.for_units(units).canonical + GRACE_MM
    assert all(size_mm > end.for_units(units).canonical + GRACE_MM for end in below)
