"""The job sheet as the planner gets it: every field read, every quantity exact. Reading is in ``sheet_reader``."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

from traveler.job.requirement import Point
from traveler.library.model import Filler, Process, Steel, StressReliefProfile, Units
from traveler.metals.outcome import Source
from traveler.quantity.quantity import Quantity

StepKind = Literal[
    "cut", "fit", "preheat", "weld", "hydrogen release", "stress relief", "inspect", "assemble", "other"
]
Condition = Literal[
    "annealed", "normalized", "as rolled", "quenched and tempered", "stress relieved", "unknown"
]
Form = Literal["plate", "sheet", "tube", "bar", "forging", "casting"]
Check = Literal["marking", "heat number", "hardness", "thickness", "interruptions", "arc strikes"]
Straightening = Literal["not allowed", "cold", "hot"]
RepairOf = Literal["crack", "other damage"]
Task = Literal["coating"]


@dataclass(frozen=True, slots=True)
class Material:
    """A piece of metal on the sheet. ``composition`` is mass percent as the certificate reports it, and ``figures`` the
    same as written there, "0.30".

    ``hardness``: least and greatest as received, both in one scale; either may be None.
    """

    id: str
    steel: Steel
    condition: Condition
    heat_number: str | None
    certificate: str
    composition: tuple[tuple[str, Fraction], ...]
    tempered_at: Quantity | None
    hardness: tuple[Quantity | None, Quantity | None] | None = None
    figures: tuple[tuple[str, str], ...] = ()

    def figure(self, element: str, content: float) -> str:
        """The content as the certificate has it, so that two decimals stay two; else in its shortest form."""
        written = dict(self.figures).get(element)
        return written if written is not None and float(written) == content else f"{content:g}"


@dataclass(frozen=True, slots=True)
class SheetFiller:
    """A filler on the sheet; ``hydrogen_ml_100g`` from a class such as H5, None where the sheet names none."""

    id: str
    filler: Filler
    hydrogen_class: str | None
    hydrogen_ml_100g: Fraction | None
    lot: str | None


@dataclass(frozen=True, slots=True)
class Member:
    """One piece of a joint, at the joint."""

    material: Material
    form: Form
    thickness: Quantity


@dataclass(frozen=True, slots=True)
class OwnMinimum:
    """A preheat minimum that somebody answers for with their name, beside what the methods ask for."""

    at_least: Quantity
    by: str
    because: str


@dataclass(frozen=True, slots=True)
class Repair:
    """That a joint is repaired: of what, how often before, and how often the job lets it be repaired at all."""

    of: RepairOf
    before: int = 0
    at_most: int | None = None


@dataclass(frozen=True, slots=True)
class Procedure:
    """A tested welding procedure: its name and what its test piece was welded with. What it does not say is None.

    ``governs``: where it reaches less high than the plan, its maximum is the plan's.
    """

    id: str
    revision: str | None = None
    preheat_tested: Quantity | None = None
    interpass_tested: Quantity | None = None
    thickness_from: Quantity | None = None
    thickness_to: Quantity | None = None
    gas: str | None = None
    purge: str | None = None
    governs: bool = False

    @property
    def name(self) -> str:
        """ "WPS-12 revision B"."""
        return f"{self.id} revision {self.revision}" if self.revision else self.id


@dataclass(frozen=True)  # without slots: it keeps what each method of each "what if" asks of it
class Joint:
    """A welded joint. ``arc_energy`` is U I / v, without any efficiency."""

    id: str
    type: str
    process: Process
    filler: SheetFiller
    arc_energy: Quantity
    restraint: Literal["low", "medium", "high"]
    members: tuple[Member, ...]
    preheat: OwnMinimum | None = None
    repair: Repair | None = None
    procedure: Procedure | None = None

    @cached_property
    def thickest(self) -> Member:
        """The member that sets the thickness of the joint."""
        return max(self.members, key=lambda member: member.thickness.canonical)


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension checked at fit and at inspection: nominal plus or minus the tolerance.

    ``tolerance_rule`` names the class of a general standard that the tolerance was taken from, None for its own.
    ``as_built``: in words, how it came out when the part was made before.
    """

    id: str
    title: str
    nominal: Quantity
    tolerance: Quantity
    tolerance_source: Source
    tolerance_rule: str | None
    as_built: str | None = None


@dataclass(frozen=True, slots=True)
class SheetOutside:
    """A step that the sheet gives to a vendor; ``returns`` None where it leaves the papers to what is usual."""

    vendor: str
    order: str | None
    returns: tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class SheetStep:
    """A step that the sheet asks for itself, with its hold and witness points and, where that is so, its vendor.

    ``task``: what a step of the kind "other" is for, where more belongs to it than its title.
    """

    number: int
    kind: StepKind
    joint: str | None
    title: str | None
    points: tuple[Point, ...] = ()
    task: Task | None = None
    outside: SheetOutside | None = None


@dataclass(frozen=True, slots=True)
class Coating:
    """What the finished part is coated with, and how strong its metal is where it is strongest.

    ``strength`` is that of the metal, ``hardness`` as measured at the hardest place; at most one of the two.
    """

    process: str
    strength: Quantity | None = None
    hardness: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Site:
    """Where the welding is done: how cold metal and air are there before heating, and whether the air is damp."""

    temperature: Quantity | None
    damp: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole job sheet without faults. ``text`` is the file as read; ``site`` None where the sheet does not say.

    ``made_from``: number of the job that is made again, None for a part that is made for the first time.
    ``checks``: what is looked at besides what every job asks. ``straightening``: None where the sheet does not say.
    ``quantity``: how many pieces go through the job together; ``serials``: theirs, none or one each.
    """

    text: str
    number: str
    title: str
    part: str | None
    units: Units
    decides: str
    stress_relief: StressReliefProfile | None
    hardness_limit: Quantity | None
    materials: tuple[Material, ...]
    fillers: tuple[SheetFiller, ...]
    joints: tuple[Joint, ...]
    dimensions: tuple[Dimension, ...]
    steps: tuple[SheetStep, ...]
    site: Site | None = None
    decision_rule: str | None = None
    self_inspection: bool = False
    made_from: str | None = None
    checks: tuple[Check, ...] = ()
    straightening: Straightening | None = None
    coating: Coating | None = None
    quantity: int = 1
    serials: tuple[str, ...] = ()


def materials_of(joints: Iterable[Joint]) -> tuple[Material, ...]:
    """The materials of these joints, each once, in the order of the members."""
    by_id = {member.material.id: member.material for joint in joints for member in joint.members}
    return tuple(by_id.values())
