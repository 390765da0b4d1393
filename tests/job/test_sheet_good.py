"""Good sheets: what a person typed arrives exact, looked up and in order."""

from fractions import Fraction
from pathlib import Path

import pytest

from traveler.job.sheet import Sheet
from traveler.job.sheet_reader import decode_sheet, read_sheet
from traveler.library.load import load_library

SHEETS = Path(__file__).parents[2] / "fixtures" / "sheets"


def read(name: str) -> Sheet:
    return read_sheet(decode_sheet((SHEETS / f"{name}.toml").read_bytes()), load_library())


@pytest.mark.parametrize("path", sorted(SHEETS.glob("*.toml")), ids=lambda path: path.stem)
def test_every_good_sheet_is_read_without_a_fault(path: Path) -> None:
    sheet = read(path.stem)
    assert sheet.joints
    assert sheet.text == path.read_text(encoding="utf-8")


def test_the_bracket_arrives_as_typed() -> None:
    sheet = read("bracket")
    assert (sheet.number, sheet.part, sheet.units) == ("H-014", "RU-3, left", "inch")
    assert (sheet.title, sheet.decides) == ("Rear upright bracket, replacement", "welding engineer")
    assert sheet.stress_relief is load_library().profiles["shop 4130"]
    assert sheet.hardness_limit is not None
    assert (sheet.hardness_limit.text, sheet.hardness_limit.unit.symbol) == ("350", "HV")
    plate, rail = sheet.materials
    assert plate.steel is load_library().steel("4130")
    assert (plate.condition, plate.heat_number, plate.certificate) == ("annealed", "A7731", "3.1")
    assert (rail.condition, rail.heat_number, rail.certificate, rail.composition) == (
        "as rolled",
        None,
        "none",
        (),
    )
    (joint,) = sheet.joints
    assert (joint.id, joint.type, joint.restraint, joint.process.number) == ("J1", "T fillet", "high", "141")
    assert joint.filler is sheet.fillers[0]
    assert [member.material for member in joint.members] == [plate, rail]
    assert [member.form for member in joint.members] == ["plate", "tube"]
    (step,) = sheet.steps
    assert (step.number, step.kind, step.joint, step.title) == (
        40,
        "preheat",
        "J1",
        "Preheat the bracket joint",
    )


def test_numbers_are_exact() -> None:
    """1 in is 25.4 mm by definition (NIST SP 811, 2008, appendix B)."""
    sheet = read("bracket")
    assert dict(sheet.materials[0].composition) == {
        "C": Fraction(31, 100),
        "Si": Fraction(26, 100),
        "Mn": Fraction(52, 100),
        "Cr": Fraction(98, 100),
        "Mo": Fraction(1, 5),
    }
    quarter, wall = (member.thickness for member in sheet.joints[0].members)
    assert (quarter.text, quarter.canonical) == ("1/4", Fraction(635, 100))
    assert (wall.text, wall.canonical) == ("0.120", Fraction(3048, 1000))
    assert sheet.joints[0].thickest.thickness is quarter
    (dimension,) = sheet.dimensions
    assert (dimension.nominal.text, dimension.nominal.canonical) == ("112.0", 112)
    assert dimension.tolerance.canonical == Fraction(1, 2)


def test_arc_energy_from_volts_amps_and_travel() -> None:
    """U I / v (ISO/TR 18491): 12 V, 150 A, 90 mm/min is 1800 W over 1.5 mm/s, 1.2 kJ/mm, written as text."""
    energy = read("own-route").joints[0].arc_energy
    assert (energy.text, energy.unit.symbol, energy.canonical) == ("1.2", "kJ/mm", Fraction(6, 5))


def test_arc_energy_from_plain_numbers() -> None:
    """11.5 V, 70 A, 4 in/min: 805 W over 101.6 mm/min is 48300/101600 kJ/mm, which no decimal ends."""
    assert read("tube-to-plate").joints[0].arc_energy.canonical == Fraction(483, 1016)


def test_the_tempering_temperature_is_kept_in_its_unit() -> None:
    tempered_at = read("thick-quenched").materials[0].tempered_at
    assert tempered_at is not None
    assert (tempered_at.text, tempered_at.unit.symbol) == ("1150", "degF")


@pytest.mark.parametrize(
    ("sheet", "expected"), [("bracket", 5), ("thick-quenched", 4), ("nickel-filler", None)]
)
def test_the_hydrogen_class_is_an_upper_bound_in_ml_per_100_g(sheet: str, expected: int | None) -> None:
    """ISO 3690 and the classes H4, H5, H8 ... of the filler standards: the figure is the ml of hydrogen."""
    assert read(sheet).fillers[0].hydrogen_ml_100g == expected


def test_what_may_be_left_out() -> None:
    sheet = read("structural")
    assert sheet.joints[0].restraint == "medium"
    assert sheet.materials[0].certificate == "none"
    assert (sheet.part, sheet.stress_relief, sheet.hardness_limit) == (None, None, None)
    assert (sheet.dimensions, sheet.steps) == ((), ())


def test_a_bead_on_plate_may_have_one_member() -> None:
    assert [len(joint.members) for joint in read("nickel-filler").joints] == [2, 1]


def test_steps_come_in_the_order_of_their_numbers() -> None:
    assert [step.number for step in read("own-route").steps] == [5, 10, 20, 30, 9999]


def test_text_in_any_script_is_kept() -> None:
    sheet = read("own-route")
    assert (sheet.title, sheet.decides) == ("Träger [links], 支架", "Schweißaufsicht")
    assert sheet.joints[0].id == "left end"


def test_text_comes_out_in_one_form_of_unicode() -> None:
    """An a with a combining diaeresis is the letter ä (Unicode annex 15), so it is the same job number."""
    text = (SHEETS / "bracket.toml").read_text(encoding="utf-8")
    composed, combined = (text.replace("H-014", number) for number in ("T\u00e4-1", "Ta\\u0308-1"))
    numbers = {read_sheet(sheet, load_library()).number for sheet in (composed, combined)}
    assert numbers == {"T\u00e4-1"}


@pytest.mark.parametrize(
    ("lines", "temperature", "damp"),
    [
        ('temperature = "3 C"\ndamp = true', Fraction(3), True),
        ('temperature = "-4 F"', Fraction(-20), False),
        ("damp = false", None, False),
    ],
)
def test_the_site_is_read(lines: str, temperature: Fraction | None, damp: bool) -> None:
    site = read_sheet(
        (SHEETS / "bracket.toml").read_text(encoding="utf-8") + f"\n[site]\n{lines}\n", load_library()
    ).site
    assert site is not None
    assert (site.temperature.canonical if site.temperature else None, site.damp) == (temperature, damp)


def test_a_sheet_may_leave_the_site_open() -> None:
    assert read("bracket").site is None
