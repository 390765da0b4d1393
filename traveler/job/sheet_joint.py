"""The joints of a sheet: what is welded to what, how, and with how much heat."""

from collections.abc import Mapping
from fractions import Fraction
from typing import get_args

from traveler.errors import BadInput
from traveler.job.sheet import Form, Joint, Material, Member, OwnMinimum, SheetFiller
from traveler.job.sheet_fields import Table
from traveler.job.sheet_procedure import PROCEDURE, read_procedure
from traveler.job.sheet_repair import REPAIR, read_repair
from traveler.library.model import Library
from traveler.quantity.arc_typed import arc_energy, parse_arc_energy
from traveler.quantity.parse import EXPECTED
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show
from traveler.quantity.units import BY_SYMBOL, CANONICAL, Kind

BEAD_ON_PLATE = "bead on plate"
PLAIN_WORDS = 2  # a number and its unit; more is an arc energy in its parts
JOINT_TYPES = ("butt", "T fillet", "corner fillet", "lap fillet", BEAD_ON_PLATE)
RESTRAINTS = ("low", "medium", "high")
DEFAULT_RESTRAINT = "medium"
MOST_VOLTS_OR_AMPS = 9999
OWN_MINIMUM = 'a table such as { at_least = "400 F", by = "a name", because = "the reason" }'
COLDEST_C, HOTTEST_C = 0, 500
"""Outside of these a preheat is a slip of the unit (common practice, no published source)."""
# Far below any arc that melts steel; a smaller result would be printed as zero.
LEAST_KJ_MM = Fraction(1, 1000)


def read_joint(
    table: Table,
    id_: str,
    materials: Mapping[str, Material | None],
    fillers: Mapping[str, SheetFiller | None],
    library: Library,
) -> Joint | None:
    """The joint in ``table``; None where it, its filler or a material of it has a fault."""
    type_ = table.choice("type", JOINT_TYPES)
    process = table.named("process", "ISO 4063 process numbers", library.processes)
    filler = table.named("filler", "fillers", fillers)
    energy = _arc_energy(table)
    restraint = table.choice("restraint", RESTRAINTS, default=DEFAULT_RESTRAINT)
    members = _members(table, type_, materials)
    preheat = _own_minimum(table.table("preheat", OWN_MINIMUM, required=False))
    repair = read_repair(table.table("repair", REPAIR, required=False))
    procedure = read_procedure(table.table("procedure", PROCEDURE, required=False))
    table.finish()
    if type_ is None or process is None or filler is None or energy is None or restraint is None:
        return None
    return Joint(id_, type_, process, filler, energy, restraint, members, preheat, repair, procedure)


def _own_minimum(table: Table | None) -> OwnMinimum | None:
    """A minimum without the name of who answers for it, or without the reason, is none."""
    if table is None:
        return None
    at_least = table.quantity("at_least", Kind.TEMPERATURE, above_zero=False)
    by = table.text("by", "the name of who answers for it", may_be_digits=False)
    because = table.text("because", "the reason", may_be_digits=False)
    table.finish()
    if at_least is not None and not COLDEST_C <= at_least.canonical <= HOTTEST_C:
        expected = f"a preheat between {COLDEST_C} and {HOTTEST_C} °C (32 and 932 °F)"
        table.fault("at_least", f"read {show(at_least)}", expected)
        return None
    if at_least is None or by is None or because is None:
        return None
    return OwnMinimum(at_least, by, because)


def _members(table: Table, type_: str | None, materials: Mapping[str, Material | None]) -> tuple[Member, ...]:
    written = table.tables(
        "member", "a list of the members, each { material, form, thickness }", required=True
    )
    if table.length("member") == 1 and type_ not in (None, BEAD_ON_PLATE):
        table.fault(
            "member", "read one member", f'two or more (only the type "{BEAD_ON_PLATE}" may have one)'
        )
    members = [_member(member, materials) for member in written]
    return tuple(member for member in members if member is not None)


def _member(table: Table, materials: Mapping[str, Material | None]) -> Member | None:
    material = table.named("material", "materials", materials)
    form = table.choice("form", get_args(Form))
    thickness = table.quantity("thickness", Kind.LENGTH)
    table.finish()
    if material is None or form is None or thickness is None:
        return None
    return Member(material, form, thickness)


def _arc_energy(table: Table) -> Quantity | None:
    """U I / v without any efficiency: as typed, or worked out exactly from volts, amps and travel speed."""
    measured = [key for key in ("volts", "amps", "travel") if table.has(key)]
    if not measured:
        parts = len(table.written_text("arc_energy").split()) > PLAIN_WORDS
        return _from_parts(table) if parts else _plain(table)
    volts = _electrical(table, "volts", Kind.VOLTAGE)
    amps = _electrical(table, "amps", Kind.CURRENT)
    travel = table.quantity("travel", Kind.SPEED)
    if table.has("arc_energy"):
        table.quantity("arc_energy", Kind.ARC_ENERGY)
        table.fault("arc_energy", f"read it beside {', '.join(measured)}", "one or the other")
    if volts is None or amps is None or travel is None:
        return None
    try:
        energy = arc_energy(volts, amps, travel)
    except BadInput:
        energy = None
    if energy is None or energy.number < LEAST_KJ_MM:
        table.fault_here("read volts, amps and travel of no arc", EXPECTED[Kind.ARC_ENERGY])
        return None
    return energy


def _plain(table: Table) -> Quantity | None:
    return table.quantity("arc_energy", Kind.ARC_ENERGY, instead="volts, amps and travel")


def _from_parts(table: Table) -> Quantity | None:
    """Several quantities in one text, such as the energy that a waveform power source shows, and the length."""
    text = table.text("arc_energy", EXPECTED[Kind.ARC_ENERGY])
    try:
        return None if text is None else parse_arc_energy(text)
    except BadInput as error:
        table.fault("arc_energy", f"read {error}".partition("; expected ")[0], EXPECTED[Kind.ARC_ENERGY])
        return None


def _electrical(table: Table, key: str, kind: Kind) -> Quantity | None:
    """Volts or amps, as a plain number or as text with the unit."""
    if table.is_text(key):
        return table.quantity(key, kind)
    unit = BY_SYMBOL[CANONICAL[kind]]
    expected = f"{EXPECTED[kind]}, or a plain number of {unit.symbol} above 0 and up to {MOST_VOLTS_OR_AMPS}"
    number = table.number(key, expected, at_most=MOST_VOLTS_OR_AMPS, above_zero=True)
    return None if number is None else Quantity(str(number), number, unit)
