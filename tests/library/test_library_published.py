"""Spot checks of the library against what the sources print; each names its source and how it was read."""

from fractions import Fraction

import pytest

from traveler.library.load import load_library
from traveler.library.model import Units
from traveler.library.thickness import row_for
from traveler.metals.carbon_equivalents import ce_iiw, cet
from traveler.quantity.parse import parse_quantity
from traveler.quantity.units import Kind


# AWS D1.1/D1.1M:2015 table 3.3, read in a copy; for A and B the same in TI 809-26 (2000) table 3-1.
@pytest.mark.parametrize(
    ("what", "category", "thickness", "minimum_f", "minimum_c"),
    [
        ("A36 3/4 in, low-hydrogen", "B", "3/4 in", 32, 0),
        ("A36 1 in, low-hydrogen", "B", "1 in", 50, 10),
        ("A36 1 in, cellulosic electrode", "A", "1 in", 150, 65),
        ("A572 grade 50 2 in, flux cored", "B", "2 in", 150, 65),
        ("A36 3 in, low-hydrogen", "B", "3 in", 225, 110),
        ("A36 3 in, cellulosic electrode", "A", "3 in", 300, 150),
        ("A572 grade 65 1/2 in", "C", "1/2 in", 50, 10),
        ("A572 grade 65 2 in", "C", "2 in", 225, 110),
        ("A913 grade 65 4 in with H8", "D", "4 in", 32, 0),
    ],
)
def test_d11_table_3_3(what: str, category: str, thickness: str, minimum_f: int, minimum_c: int) -> None:
    table = load_library().preheat_tables[f"AWS D1.1 category {category}"]
    size = parse_quantity(thickness, Kind.LENGTH)
    printed: dict[Units, int] = {"inch": minimum_f, "metric": minimum_c}
    for units, number in printed.items():
        limit = row_for(table, size, units).minimum.for_units(units)
        assert limit.number == number, what


# Same table: the specifications it lists under each category.
@pytest.mark.parametrize(
    ("grade", "low_hydrogen", "other"),
    [
        ("A36", "B", "A"),
        ("A106 Gr B", "B", "A"),
        ("A572 Gr 50", "B", None),
        ("A588 Gr B", "B", None),
        ("A992", "B", None),
        ("4130", None, None),
        ("A514 Gr B", None, None),
        ("S355J2", None, None),
    ],
)
def test_d11_lists(grade: str, low_hydrogen: str | None, other: str | None) -> None:
    steel = load_library().steel(grade)
    assert steel is not None
    assert (steel.d11_category, steel.d11_other_category) == (low_hydrogen, other)


# The sources named in each line, as they print the heat or ladle analysis, mass percent.
@pytest.mark.parametrize(
    ("grade", "element", "least", "most"),
    [
        # ASTM A29/A29M and SAE J404, 4130, 4140, 4340 and 8630, as suppliers quote them
        ("4130", "C", 0.28, 0.33),
        ("4130", "Mn", 0.40, 0.60),
        ("4130", "Si", 0.15, 0.35),
        ("4130", "Cr", 0.80, 1.10),
        ("4130", "Mo", 0.15, 0.25),
        ("4140", "C", 0.38, 0.43),
        ("4140", "Mn", 0.75, 1.00),
        ("4340", "Ni", 1.65, 2.00),
        ("8630", "Ni", 0.40, 0.70),
        # FAA report ANM-112N-14-02: residual nickel and copper in 4130
        ("4130", "Ni", None, 0.25),
        ("4130", "Cu", None, 0.35),
        # SAE AMS 6350, title
        ("AMS 6350", "C", 0.28, 0.33),
        # ASTM A576-90b, table of carbon grades, read in a copy
        ("1018", "C", 0.15, 0.20),
        ("1020", "Mn", 0.30, 0.60),
        ("1026", "C", 0.22, 0.28),
        ("1045", "C", 0.43, 0.50),
        # EN 10025-2:2004 table 2, read in a copy (columns up to 16 mm and over 16 up to 40 mm)
        ("S235JR", "C", None, 0.17),
        ("S275JR", "C", None, 0.21),
        ("S355JR", "C", None, 0.24),
        ("S355J2", "C", None, 0.20),
        ("S355J2", "Si", None, 0.55),
        ("S355J2", "Mn", None, 1.60),
        ("S355J2", "P", None, 0.025),
        ("S355J2", "S", None, 0.025),
        ("S355J2", "Cu", None, 0.55),
        # ASTM A106/A106M, as pipe suppliers quote it
        ("A106 Gr B", "Mn", 0.29, 1.06),
        ("A106 Gr B", "Si", 0.10, None),
        # TI 809-26 (2000) table 4-3
        ("A588 Gr B", "Cu", 0.20, 0.40),
    ],
)
def test_composition_limits(grade: str, element: str, least: float | None, most: float | None) -> None:
    steel = load_library().steel(grade)
    assert steel is not None
    limits = steel.limits[element]
    assert (limits.min, limits.max) == (least, most)


# EN 1011-2:2001 C.2.1 and C.3.2.1 formulas by hand: 0.33 + 0.60/6 + (1.10 + 0.25)/5 + (0.25 + 0.35)/15, and
# 0.33 + (0.60 + 0.25)/10 + (1.10 + 0.35)/20 + 0.25/40.
def test_richest_4130_of_the_library() -> None:
    steel = load_library().steel("4130")
    assert steel is not None
    richest = {element: limits.max for element, limits in steel.limits.items() if limits.max is not None}
    assert ce_iiw(richest) == pytest.approx(0.74, abs=5e-5)
    assert cet(richest) == pytest.approx(0.49375, abs=5e-6)


# EN 1090-2:2008 table 23, read in a copy: throat or thickness mm, heat input kJ/mm, hours.
@pytest.mark.parametrize(
    ("table", "size_mm", "heat_input_kj_mm", "hours"),
    [
        ("S235 to S420", 6, 4, 0),
        ("S235 to S420", 10, 1, 8),
        ("S235 to S420", 12, 4, 16),
        ("S235 to S420", 20, 3, 16),
        ("S235 to S420", 20, 4, 40),
        ("S460 and above", 5, 4, 24),
        ("S460 and above", 10, 4, 40),
        ("S460 and above", 20, 1.5, 40),
        ("S460 and above", 15, 4, 48),
        # AWS D1.1:2000 table 6.1(5), read in a copy
        ("AWS D1.1 A514", 25, 2, 48),
        # common practice, no published source
        ("4130 and richer", 3.2, 1, 24),
        ("4130 and richer", 3.3, 1, 48),
    ],
)
def test_waiting_times(table: str, size_mm: float, heat_input_kj_mm: float, hours: int) -> None:
    size, heat_input = Fraction(str(size_mm)), Fraction(str(heat_input_kj_mm))
    rows = load_library().waiting[table].rows
    first = next(
        row
        for row in rows
        if (row.size_up_to_mm is None or size <= row.size_up_to_mm)
        and (row.heat_input_up_to_kj_mm is None or heat_input <= row.heat_input_up_to_kj_mm)
    )
    assert first.hours == hours


# ASME BPVC VIII-1 UCS-56, read in copies of 2010 and 2019; rates as practitioners quote (d)(2) and (d)(5).
@pytest.mark.parametrize(
    ("profile", "soak_f", "soak_c"),
    [
        ("UCS-56 P-1", 1100, 595),
        ("UCS-56 P-3", 1100, 595),
        ("UCS-56 P-4", 1200, 650),
        ("UCS-56 P-10A", 1100, 595),
    ],
)
def test_ucs_56(profile: str, soak_f: int, soak_c: int) -> None:
    rule = load_library().profiles[profile]
    assert rule.soak_min.for_units("inch").number == soak_f
    assert rule.soak_min.for_units("metric").number == soak_c
    assert rule.soak_max is None
    assert rule.heating_max.for_units("inch").number == 400
    assert rule.cooling_max.for_units("inch").number == 500
    assert rule.rate_threshold.for_units("inch").number == 800


# The same tables: minutes at temperature by thickness in inches.
@pytest.mark.parametrize(
    ("profile", "thickness_in", "minutes"),
    [
        ("UCS-56 P-1", "3/16", 15),
        ("UCS-56 P-1", "1/2", 30),
        ("UCS-56 P-1", "2", 120),
        ("UCS-56 P-1", "3", 135),
        ("UCS-56 P-4", "3", 180),
        ("UCS-56 P-4", "6", 315),
        ("UCS-56 P-10A", "1/2", 60),
        ("UCS-56 P-10A", "3", 90),
        # common practice, no published source
        ("shop 4130", "1/4", 60),
        ("shop 4130", "3", 180),
    ],
)
def test_hold(profile: str, thickness_in: str, minutes: int) -> None:
    rule, thickness = load_library().profiles[profile], Fraction(thickness_in)
    knee = rule.hold_knee_in if rule.hold_knee_in is not None else thickness
    below = max(rule.hold_min_minutes, rule.hold_minutes_per_inch * min(thickness, knee))
    assert below + rule.hold_minutes_per_inch_beyond * max(Fraction(0), thickness - knee) == minutes


def test_shop_4130_band() -> None:
    """Common practice, no published source: 1100 F +50/-0; hardened metal 50 F° wide under its ceiling."""
    rule = load_library().profiles["shop 4130"]
    assert rule.soak_max is not None
    assert rule.soak_min.for_units("inch").number == 1100
    assert rule.soak_max.for_units("inch").number == 1150
    assert rule.qt_band is not None
    assert rule.qt_band.for_units("inch").number == rule.temper_margin.for_units("inch").number == 50
    assert rule.families == ("4130", "ordinary structural")


# EN 1011-1 efficiencies as TWI and SSAB texts quote them.
@pytest.mark.parametrize(
    ("number", "efficiency"),
    [("121", "1"), ("111", "4/5"), ("131", "4/5"), ("135", "4/5"), ("136", "4/5"), ("141", "3/5")],
)
def test_efficiencies(number: str, efficiency: str) -> None:
    assert load_library().processes[number].efficiency == Fraction(efficiency)


def test_d11_covers_four_processes_and_not_tig() -> None:
    """AWS D1.1:2015 table 3.3 names SMAW, SAW, GMAW and FCAW."""
    covered = {number for number, process in load_library().processes.items() if process.d11}
    assert covered == {"111", "114", "121", "131", "135", "136", "138"}


def test_nickel_filler_and_stainless_steel_stop_at_350_f() -> None:
    """NAVSEA S9074-AR-GIB-010/278 table IV prints 350 °F for S-8, in Fahrenheit only."""
    library = load_library()
    for name in ("interpass nickel", "interpass austenitic"):
        printed = library.printed[name]
        assert printed.inch is not None
        assert printed.inch.number == 350
        assert printed.metric is None
        assert printed.for_units("metric") == printed.inch
