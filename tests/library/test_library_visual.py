"""Visual criteria and general tolerances against what the standards print, each number with its source."""

import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from traveler.errors import TravelerError
from traveler.library.reading import read_data, table_of
from traveler.library.tolerances import load_tolerances, read_tolerances
from traveler.library.visual import LEVELS, load_visual, read_visual
from traveler.metals.outcome import Source
from traveler.metals.tolerances import linear_tolerance
from traveler.metals.visual import Imperfection, Level, imperfection_limit, imperfection_permitted
from traveler.metals.visual_d11 import (
    convexity_limit,
    porosity_permitted,
    undercut_limit,
    undercut_permitted,
    undersize_limit,
    undersize_permitted,
)

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published" / "visual.toml"
CHECKS = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["check"]
DATA = Path(__file__).parents[2] / "traveler" / "library" / "data"
METRIC, INCH = load_visual().d11["metric"], load_visual().d11["inch"]


def rows(method: str) -> list[list[Any]]:
    return [[check["mark"], *row] for check in CHECKS if check["method"] == method for row in check["table"]]


def imperfection(name: str, thickness_mm: Fraction) -> Imperfection:
    (row,) = (row for row in load_visual().iso5817 if row.name == name and row.covers(thickness_mm))
    return row


@pytest.mark.parametrize(("mark", "name", "thickness", "size", "d", "c", "b"), rows("ISO 5817"))
def test_iso_5817(mark: str, name: str, thickness: str, size: str, d: str, c: str, b: str) -> None:
    thickness_mm, size_mm = Fraction(thickness), Fraction(size) if size else None
    row = imperfection(name, thickness_mm)
    assert row.source.mark == mark
    printed: dict[Level, str] = {"D": d, "C": c, "B": b}
    for level, limit in printed.items():
        outcome = imperfection_limit(row, level, thickness_mm, size_mm)
        assert (outcome.value, outcome.status) == (float(limit), "ok")
        exact = Fraction(limit)
        assert imperfection_permitted(row, level, exact, thickness_mm, size_mm) is True
        over = exact + Fraction(1, 1000)
        assert imperfection_permitted(row, level, over, thickness_mm, size_mm) is False


def test_a_stricter_level_never_permits_more() -> None:
    for row in load_visual().iso5817:
        thickness_mm = row.up_to_mm or row.over_mm + 10
        for size_mm in (Fraction(1), Fraction(8), Fraction(200)):
            b, c, d = (imperfection_limit(row, level, thickness_mm, size_mm).value for level in LEVELS)
            assert b is not None
            assert c is not None
            assert d is not None
            assert b <= c <= d


def test_short_ones_only_is_said() -> None:
    outcome = imperfection_limit(imperfection("shrinkage groove", Fraction(10)), "C", Fraction(10))
    assert outcome.reasons == ("only short shrinkage groove is permitted",)


def test_no_row_is_no_number() -> None:
    (row,) = (row for row in load_visual().iso5817 if row.numbers == "502")
    outcome = imperfection_limit(row, "B", Fraction(2), Fraction(8))
    assert (outcome.status, outcome.value) == ("not tabulated", None)
    assert imperfection_permitted(row, "B", Fraction(0), Fraction(2), Fraction(8)) is None


def test_the_size_that_the_limit_grows_with_must_be_given() -> None:
    row = imperfection("excess weld metal", Fraction(10))
    with pytest.raises(ValueError, match="size_mm must be the b of excess weld metal"):
        imperfection_limit(row, "B", Fraction(10))
    with pytest.raises(ValueError, match="thickness_mm"):
        imperfection_limit(row, "B", Fraction(0), Fraction(8))
    with pytest.raises(ValueError, match="measured_mm"):
        imperfection_permitted(row, "B", Fraction(-1), Fraction(10), Fraction(8))


@pytest.mark.parametrize(("mark", "leg", "measured", "share", "passes"), rows("undersize"))
def test_undersize_by_d11(mark: str, leg: str, measured: str, share: str, passes: bool) -> None:
    assert METRIC.undersize_source.mark == mark
    assert undersize_permitted(METRIC, Fraction(leg), Fraction(measured), Fraction(share)) is passes


@pytest.mark.parametrize(("mark", "thickness", "depth", "length", "passes"), rows("undercut"))
def test_undercut_by_d11(mark: str, thickness: str, depth: str, length: str, passes: bool) -> None:
    assert METRIC.undercut_source.mark == mark
    found = undercut_permitted(METRIC, Fraction(thickness), Fraction(depth), Fraction(length))
    assert found is passes


def test_d11_prints_inches_beside_millimetres() -> None:
    """Table 8.1(6) and (7) [seen]: 1/16 with 2, 3/32 with 2.5, 1/8 with 3; 1/32 with 1, 1/16 with 2, 0.01 with 0.25."""
    legs = [(Fraction(3, 16), 5), (Fraction(1, 4), 6), (Fraction(5, 16), 8)]
    printed = [(Fraction(1, 16), 2.0), (Fraction(3, 32), 2.5), (Fraction(1, 8), 3.0)]
    for (leg_in, leg_mm), (inch, metric) in zip(legs, printed, strict=True):
        assert undersize_limit(INCH, leg_in).value == float(inch)
        assert undersize_limit(METRIC, Fraction(leg_mm)).value == metric
    assert (undercut_limit(INCH, Fraction(1, 2)).value, undercut_limit(INCH, Fraction(1)).value) == (
        1 / 32,
        1 / 16,
    )
    assert undercut_limit(INCH, Fraction(1, 2), "cyclic", True).value == 0.01
    assert undercut_limit(METRIC, Fraction(30), "cyclic", False).value == 1.0
    assert (undercut_limit(INCH, Fraction(1)).unit, undercut_limit(METRIC, Fraction(1)).unit) == ("in", "mm")


def test_under_cyclic_load_no_length_excuses_depth() -> None:
    assert undercut_permitted(METRIC, Fraction(10), Fraction("0.25"), Fraction(300), "cyclic", True)
    assert not undercut_permitted(METRIC, Fraction(10), Fraction("0.26"), Fraction(1), "cyclic", True)
    assert not undercut_permitted(METRIC, Fraction(10), Fraction("1.1"), Fraction(1), "cyclic")


def pores(*found: tuple[int, str]) -> tuple[tuple[Fraction, Fraction], ...]:
    return tuple((Fraction(place), Fraction(diameter)) for place, diameter in found)


def test_pores_add_up_over_a_short_and_a_long_piece() -> None:
    """AWS D1.1 table 8.1(8) [memory]: 10 mm in any 25 mm, 20 mm in any 300 mm, from 1 mm on."""
    assert porosity_permitted(METRIC, pores((0, "5"), (25, "5")))
    assert not porosity_permitted(METRIC, pores((0, "5"), (25, "5.1")))
    assert porosity_permitted(METRIC, pores((0, "5"), (26, "5.1")))
    assert porosity_permitted(METRIC, pores((0, "9"), (100, "9"), (300, "2")))
    assert not porosity_permitted(METRIC, pores((0, "9"), (100, "9"), (300, "2.1")))
    assert porosity_permitted(METRIC, pores((0, "10"), (1, "0.9")))
    assert porosity_permitted(METRIC, ())


def test_a_butt_weld_in_tension_shows_no_pore() -> None:
    assert porosity_permitted(METRIC, (), tension_butt=True)
    assert not porosity_permitted(METRIC, pores((0, "0.5")), tension_butt=True)


def test_under_cyclic_load_one_small_pore_in_each_100_mm() -> None:
    assert porosity_permitted(METRIC, pores((0, "2.5"), (100, "2.5")), "cyclic")
    assert not porosity_permitted(METRIC, pores((0, "2.5"), (99, "1")), "cyclic")
    assert not porosity_permitted(METRIC, pores((0, "2.6")), "cyclic")


def test_convexity_by_the_width_of_the_face() -> None:
    """Fillet profiles of AWS D1.1 [memory]: 1/16 up to 5/16, 1/8 up to 1, 3/16 beyond."""
    widths = (Fraction(5, 16), Fraction(1, 2), Fraction(1), Fraction(9, 8))
    assert [convexity_limit(INCH, width).value for width in widths] == [0.0625, 0.125, 0.125, 0.1875]


@pytest.mark.parametrize("size", [Fraction(0), Fraction(-1)])
def test_no_such_size(size: Fraction) -> None:
    for call in (
        lambda: undersize_limit(METRIC, size),
        lambda: undercut_limit(METRIC, size),
        lambda: convexity_limit(METRIC, size),
        lambda: porosity_permitted(METRIC, ((Fraction(0), size),)),
        lambda: linear_tolerance(load_tolerances()["ISO 13920"], "A", size),
    ):
        with pytest.raises(ValueError, match="greater than zero"):
            call()


@pytest.mark.parametrize(("mark", "table", "tolerance_class", "nominal", "deviation"), rows("tolerance"))
def test_general_tolerance(mark: str, table: str, tolerance_class: str, nominal: str, deviation: str) -> None:
    outcome = linear_tolerance(load_tolerances()[table], tolerance_class, Fraction(nominal))
    assert (outcome.value, outcome.status) == (float(deviation), "ok")


@pytest.mark.parametrize(
    ("table", "tolerance_class", "nominal"),
    [
        ("ISO 13920", "A", "1.9"),
        ("ISO 2768-1", "m", "0.4"),
        ("ISO 2768-1", "m", "4001"),
        ("ISO 2768-1", "f", "2500"),
        ("ISO 2768-1", "v", "2"),
    ],
)
def test_no_tolerance_there(table: str, tolerance_class: str, nominal: str) -> None:
    outcome = linear_tolerance(load_tolerances()[table], tolerance_class, Fraction(nominal))
    assert (outcome.status, outcome.value) == ("not tabulated", None)
    assert outcome.reasons


def test_no_such_class() -> None:
    with pytest.raises(ValueError, match="classes A, B, C, D, not 'm'"):
        linear_tolerance(load_tolerances()["ISO 13920"], "m", Fraction(100))


def test_a_coarser_class_or_a_longer_size_is_never_tighter() -> None:
    for table in load_tolerances().values():
        for row in table.rows:
            in_order = [row.deviation_mm[name] for name in table.classes if name in row.deviation_mm]
            assert in_order == sorted(in_order)
        for name in table.classes:
            growing = [row.deviation_mm[name] for row in table.rows if name in row.deviation_mm]
            assert growing == sorted(growing)


def test_every_number_has_a_source_that_the_file_declares() -> None:
    declared = {
        source["title"]
        for file in ("visual.toml", "tolerances.toml")
        for source in tomllib.loads((DATA / file).read_text(encoding="utf-8"))["source"].values()
    }
    found: list[Source] = [row.source for row in load_visual().iso5817]
    found += [row.source for table in load_tolerances().values() for row in table.rows]
    for table in (METRIC, INCH):
        found += [
            table.undersize_source,
            table.undercut_source,
            table.porosity_source,
            table.convexity_source,
        ]
    assert {source.title for source in found} == declared


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        ("factor = 0.05, cap_mm = 0.5", "factor = -0.05", "visual.toml, iso5817 undercut, B, factor: read"),
        ("factor = 0.05, cap_mm = 0.5", "cap_mm = 0.5", "iso5817 undercut, B: factor is missing"),
        ('size = "b"', 'size = "x"', "iso5817 excess weld metal, size: read 'x', expected one of t, b, s, a"),
        ("steps = [[0, 1], [25, 2]]", "steps = [[25, 2], [0, 1]]", "d11, metric, undercut, steps: read"),
        ("short = [25, 10]", "short = [25]", "d11, metric, porosity, short: read .*, expected a pair"),
        ("[d11.inch]", "[d11.imperial]", "visual.toml, d11: unknown key 'imperial'"),
        ('unit = "in"', 'unit = "inch"', "d11, inch, unit: read 'inch', expected one of in, mm"),
    ],
)
def test_wrong_criteria_are_refused(right: str, wrong: str, message: str) -> None:
    text = (DATA / "visual.toml").read_text(encoding="utf-8")
    assert right in text
    with pytest.raises(TravelerError, match=message):
        read_visual(table_of("visual.toml", text.replace(right, wrong, 1)))


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        (
            "over_mm = 30, up_to_mm = 120, A = 1",
            "over_mm = 31, up_to_mm = 120, A = 1",
            "rows: read '31', expected rows",
        ),
        ("up_to_mm = 3, f = 0.05", "up_to_mm = 3, g = 0.05", "rows 0: unknown key 'g'"),
    ],
)
def test_wrong_tolerances_are_refused(right: str, wrong: str, message: str) -> None:
    text = (DATA / "tolerances.toml").read_text(encoding="utf-8")
    assert right in text
    with pytest.raises(TravelerError, match=message):
        read_tolerances(table_of("tolerances.toml", text.replace(right, wrong, 1)))


def test_the_files_themselves_are_sound() -> None:
    assert read_visual(read_data("visual.toml")) == load_visual()
    assert read_tolerances(read_data("tolerances.toml")) == dict(load_tolerances())
