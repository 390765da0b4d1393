"""Reading a job sheet: every field checked and looked up in the library, every fault told in one go."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any, TypeVar, get_args

from traveler.errors import BadSheet
from traveler.job.decision_rule import DECISION_RULES
from traveler.job.sheet import Check, Coating, Sheet, SheetStep, Site, StepKind, Straightening, Task
from traveler.job.sheet_dimension import dimension_reader
from traveler.job.sheet_fields import Table
from traveler.job.sheet_finishing import COATING, read_coating
from traveler.job.sheet_joint import read_joint
from traveler.job.sheet_metal import read_filler, read_material
from traveler.job.sheet_outside import read_outside
from traveler.job.sheet_pieces import read_pieces
from traveler.job.sheet_points import read_points
from traveler.job.sheet_toml import decode_sheet, parse_toml
from traveler.job.sheet_words import shown
from traveler.library.model import Library, StressReliefProfile, Units
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show
from traveler.quantity.units import Kind

__all__ = ["decode_sheet", "read_sheet"]

T = TypeVar("T")

LARGEST_STEP_NUMBER = 9999
STEP_NUMBER = f"a whole number from 1 to {LARGEST_STEP_NUMBER}"
COLDEST_SITE_C, HOTTEST_SITE_C = -60, 60
KINDS_OF_ONE_JOINT = ("preheat", "weld")


def read_sheet(text: str, library: Library) -> Sheet:
    """The sheet that ``text`` (TOML) describes, with its grades, fillers, processes and profile looked up.

    Steps come in the order of their numbers, everything else in the order of the sheet. Left out,
    ``certificate`` is "none" and ``restraint`` "medium".

    Raises `BadSheet` with all faults of the sheet, one sentence each; a fault of TOML itself comes alone.
    """
    faults: list[str] = []
    root = Table("", parse_toml(text), faults)
    job_table = root.table("job", "one [job] table, in single brackets")
    job = _job(job_table, library) if job_table else None
    materials = _by_id(
        root.tables("material", "at least one [[material]] table", required=True),
        "the id of a material",
        lambda table, id_: read_material(table, id_, library),
    )
    fillers = _by_id(
        root.tables("filler", "[[filler]] tables"),
        "the id of a filler",
        lambda table, id_: read_filler(table, id_, library),
    )
    joints = _by_id(
        root.tables("joint", "at least one [[joint]] table", required=True),
        "the id of a joint",
        lambda table, id_: read_joint(table, id_, materials, fillers, library),
    )
    dimension_tables = root.tables("dimension", "[[dimension]] tables")
    dimensions = _by_id(dimension_tables, "the id of a dimension", dimension_reader(library))
    site_table = root.table("site", "one [site] table, in single brackets", required=False)
    site = _site(site_table) if site_table else None
    steps = _steps(root.tables("step", "[[step]] tables"), tuple(joints))
    root.finish()
    if faults or job is None:
        raise BadSheet(tuple(faults))
    return Sheet(
        text=text,
        number=job.number,
        title=job.title,
        part=job.part,
        units=job.units,
        decides=job.decides,
        stress_relief=job.stress_relief,
        hardness_limit=job.hardness_limit,
        materials=_read(materials.values()),
        fillers=_read(fillers.values()),
        joints=_read(joints.values()),
        dimensions=_read(dimensions.values()),
        steps=steps,
        site=site,
        decision_rule=job.decision_rule,
        self_inspection=job.self_inspection,
        made_from=job.made_from,
        checks=job.checks,
        straightening=job.straightening,
        coating=job.coating,
        quantity=job.quantity,
        serials=job.serials,
    )


@dataclass(frozen=True, slots=True)
class _Job:
    number: str
    title: str
    part: str | None
    units: Units
    decides: str
    stress_relief: StressReliefProfile | None
    hardness_limit: Quantity | None
    decision_rule: str | None
    self_inspection: bool
    made_from: str | None
    checks: tuple[Check, ...]
    straightening: Straightening | None
    coating: Coating | None
    quantity: int
    serials: tuple[str, ...]


def _job(table: Table, library: Library) -> _Job | None:
    number = table.name("number", "the number of the job")
    title = table.text("title", "the title of the job")
    part = table.text("part", "the part number", required=False)
    units = table.choice("units", get_args(Units))
    decides = table.text("decides", "who answers for the limits")
    stress_relief = table.named("stress_relief", "rule profiles", library.profiles, required=False)
    hardness_limit = table.quantity("hardness_limit", Kind.HARDNESS, required=False)
    decision_rule = table.named(
        "decision_rule",
        "decision rules",
        dict(zip(DECISION_RULES, DECISION_RULES, strict=True)),
        required=False,
    )
    self_inspection = table.flag("self_inspection")
    made_from = _made_from(table)
    checks = _checks(table)
    straightening = _one_of(table, "straightening", get_args(Straightening))
    coating = read_coating(table.table("coating", COATING, required=False))
    quantity, serials = read_pieces(table)
    table.finish()
    if number is None or title is None or units is None or decides is None:
        return None
    return _Job(
        number,
        title,
        part,
        units,
        decides,
        stress_relief,
        hardness_limit,
        decision_rule,
        self_inspection,
        made_from,
        checks,
        straightening,
        coating,
        quantity,
        serials,
    )


def _checks(table: Table) -> tuple[Check, ...]:
    written = table.choices("checks", "checks", get_args(Check))
    return tuple(check for check in get_args(Check) if check in written)


def _one_of(table: Table, key: str, options: tuple[str, ...]) -> Any:
    """One of ``options``; None where it is left out, or where it has a fault."""
    return table.named(key, "", dict(zip(options, options, strict=True)), required=False)


def _made_from(table: Table) -> str | None:
    """The number of another job; a part is not made from itself."""
    if not table.has("made_from"):
        return None
    made_from = table.name("made_from", "the number of the job that is made again")
    if made_from is not None and made_from == table.written_text("number"):
        table.fault("made_from", f"read {shown(made_from)}, the number of this job", "that of another job")
    return made_from


def _site(table: Table) -> Site:
    if not table.written():
        table.fault_here("read an empty table", "temperature, damp, or no site at all")
    temperature = table.quantity("temperature", Kind.TEMPERATURE, above_zero=False, required=False)
    if temperature is not None and not COLDEST_SITE_C <= temperature.canonical <= HOTTEST_SITE_C:
        table.fault(
            "temperature",
            f"read {show(temperature)}",
            f"the temperature of metal and air before heating, {COLDEST_SITE_C} to {HOTTEST_SITE_C} °C "
            "(-76 to 140 °F)",
        )
    damp = table.flag("damp")
    table.finish()
    return Site(temperature, damp)


def _by_id(
    tables: Iterable[Table], expected: str, read: Callable[[Table, str], T | None]
) -> dict[str, T | None]:
    """What ``read`` makes of each table, by id.

    What has a fault stays in as None: a reference to it is no second fault.
    """
    found: dict[str, T | None] = {}
    for table in tables:
        id_ = table.name("id", expected)
        item = read(table, id_ or "")
        if id_ in found:
            table.fault("id", f"read {shown(id_)} a second time", "an id of its own")
        elif id_ is not None:
            found[id_] = item
    return found


def _read(items: Iterable[T | None]) -> tuple[T, ...]:
    return tuple(item for item in items if item is not None)


def _steps(tables: Iterable[Table], joints: tuple[str, ...]) -> tuple[SheetStep, ...]:
    """The steps in the order of their numbers, each number once."""
    steps: list[SheetStep] = []
    taken: set[int] = set()
    for table in tables:
        number = table.integer("number", STEP_NUMBER, at_most=LARGEST_STEP_NUMBER)
        step = _step(table, number or 0, joints)
        if number in taken:
            table.fault("number", f"read {number} a second time", "a step number of its own")
        elif number is not None:
            taken.add(number)
            steps.extend(_read([step]))
    return tuple(sorted(steps, key=lambda step: step.number))


def _step(table: Table, number: int, joints: tuple[str, ...]) -> SheetStep | None:
    kind = table.choice("kind", get_args(StepKind))
    known = dict(zip(joints, joints, strict=True))
    joint = table.named("joint", "joints", known, required=kind in KINDS_OF_ONE_JOINT)
    title = table.text("title", "the title of the step", required=False)
    points = read_points(table)
    task = _one_of(table, "task", get_args(Task))
    if task is not None and kind not in (None, "other"):
        table.fault("task", f"read {shown(task)} for the kind {shown(kind)}", 'it only with the kind "other"')
    outside = read_outside(table, welded=kind in KINDS_OF_ONE_JOINT)
    table.finish()
    return None if kind is None else SheetStep(number, kind, joint, title, points, task, outside)
