"""What the library hands out: steels, fillers, processes and rule tables, each number with its source."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from traveler.metals.hardness_scales import ScaleRow
from traveler.metals.outcome import Source
from traveler.metals.tolerances import ToleranceTable
from traveler.quantity.quantity import Quantity

if TYPE_CHECKING:
    from traveler.library.visual import VisualCriteria

Units = Literal["inch", "metric"]
Role = Literal["governs", "cross-check", "indicative"]
Make = Literal["wrought", "casting"]
HoldBasis = Literal["thickest member", "thinner member of a butt joint"]


@dataclass(frozen=True, slots=True)
class Printed:
    """A limit as its source prints it: in one unit system or in both, never converted between them."""

    inch: Quantity | None
    metric: Quantity | None
    source: Source

    def for_units(self, units: Units) -> Quantity:
        """The number that applies to a job typed in ``units``; the other where only that is printed."""
        first, second = (self.inch, self.metric) if units == "inch" else (self.metric, self.inch)
        chosen = first or second
        if chosen is None:
            raise ValueError("a printed limit without a number")
        return chosen


@dataclass(frozen=True, slots=True)
class ElementLimits:
    """Mass percent of one element by the grade's specification; None where the specification is silent.

    ``residual``: only limited, not alloyed on purpose; taken as absent where a certificate omits it.
    """

    min: float | None
    max: float | None
    source: Source
    residual: bool = False


@dataclass(frozen=True, slots=True)
class Steel:
    """One grade.

    ``family`` decides which preheat methods apply and with which role (``preheat_roles`` of the library).
    ``hardenable``: transforms to hard martensite beside a weld in ordinary shop conditions. ``cev_max``: the
    carbon equivalent CE(IIW) that the product standard itself guarantees, percent. ``yield_mpa``: minimum
    yield strength of the specification, for waiting times. ``tensile_mpa``: minimum tensile strength that the
    specification prints in MPa, for the rule tables. ``d11_category``: of AWS D1.1 table 3.3, for
    low-hydrogen welding; ``d11_other_category`` for covered electrodes that are not low in hydrogen (None:
    the table does not list the grade). ``limits_up_to_mm``: thickness up to which ``limits`` and ``cev_max``
    stand; the specification prints wider ones beyond it, so there only a certificate tells (None: they stand
    at every thickness). ``interpass_max``: of the grade itself, by its maker or its code.
    """

    name: str
    aliases: tuple[str, ...]
    spec: str
    family: str
    hardenable: bool
    group: str
    p_number: str | None
    limits: Mapping[str, ElementLimits]
    d11_category: str | None
    cev_max: tuple[float, Source] | None
    yield_mpa: tuple[float, Source] | None
    conditions: tuple[str, ...]
    note: str | None
    source: Source
    limits_up_to_mm: Fraction | None = None
    interpass_max: Printed | None = None
    d11_other_category: str | None = None
    tensile_mpa: tuple[float, Source] | None = None


@dataclass(frozen=True, slots=True)
class Filler:
    """One filler classification.

    ``kind``: unalloyed, low alloy, 4130 type, austenitic, nickel. ``deposit``: typical deposit, mass percent
    (for the comparison of deposit and parent metal), None where not known. ``interpass_max``: of the filler
    itself. ``low_hydrogen``: of a covered electrode's covering (decides between categories A and B of AWS
    D1.1 table 3.3), None where it is no covered electrode of unalloyed or low-alloy steel.
    ``hydrogen_ml_100g``: assumed for it where the sheet names no class, instead of the process's figure;
    None: the process's figure stands.
    """

    classification: str
    aliases: tuple[str, ...]
    kind: str
    deposit: Mapping[str, float] | None
    deposit_source: Source | None
    interpass_max: Printed | None
    note: str | None
    source: Source
    low_hydrogen: bool | None = None
    hydrogen_ml_100g: Fraction | None = None
    hydrogen_source: Source | None = None


@dataclass(frozen=True, slots=True)
class Process:
    """A welding process by ISO 4063 number. ``efficiency`` is k of EN 1011-1, dimensionless.

    ``hydrogen_ml_100g`` is assumed where neither the sheet names a class nor the filler has a figure of its
    own. ``d11``: listed in AWS D1.1 table 3.3 at all. ``low_hydrogen``: always of its category B, C or D
    kind; False for 111, where the covering decides (``Filler.low_hydrogen``).
    """

    number: str
    name: str
    efficiency: Fraction
    efficiency_source: Source
    hydrogen_ml_100g: Fraction
    hydrogen_source: Source
    d11: bool
    low_hydrogen: bool


@dataclass(frozen=True, slots=True)
class ThicknessRow:
    """A row of a thickness table: up to and including ``up_to`` (None: no end), and its printed minimum."""

    up_to: Printed | None
    minimum: Printed
    confirm_route: bool = False


@dataclass(frozen=True, slots=True)
class Serves:
    """Which grades a table answers for, in which make, with which role; ``reason`` where it is not made for them."""

    grades: tuple[str, ...]
    make: Make
    role: Role
    reason: str | None = None


@dataclass(frozen=True, slots=True)
class ThicknessTable:
    """A minimum by thickness, thinnest row first.

    ``grace_mm``: a thickness over a row by no more than this is that row.
    ``note``: what the table says beside its numbers, in our own words.
    ``serves``: the grades, where the table is bound to grades and not to a family of steel.
    """

    name: str
    title: str
    rows: tuple[ThicknessRow, ...]
    grace_mm: Fraction
    source: Source
    note: str | None = None
    serves: tuple[Serves, ...] = ()


@dataclass(frozen=True, slots=True)
class RuleRow:
    """A row of a rule table: its minimum for these groups where every condition is known to hold.

    ``groups``: ASME P-Numbers and S-Numbers. ``under``: thinner than; ``up_to``: not thicker than.
    ``tensile_up_to_mpa``: specified minimum tensile strength; ``carbon_up_to``: mass percent. ``kind``: how strongly
    the table asks for it (required or recommended).
    """

    groups: tuple[str, ...]
    minimum: Printed
    kind: str
    under: Printed | None = None
    up_to: Printed | None = None
    tensile_up_to_mpa: Fraction | None = None
    carbon_up_to: Fraction | None = None


@dataclass(frozen=True, slots=True)
class RuleTable:
    """A code's minimum preheat by group of metal; of the rows of a group the first that is known to hold counts.

    The last row of each group has no condition. ``analogues``: for a family without a P-Number of its own, the group
    that it is compared with.
    """

    name: str
    title: str
    rows: tuple[RuleRow, ...]
    role: Role
    analogues: Mapping[str, str]
    source: Source


@dataclass(frozen=True, slots=True)
class RateOver:
    """What thickness divides to give a rate: F° per hour times inches, C° per hour times millimetres, as printed."""

    inch: Fraction | None
    metric: Fraction | None


@dataclass(frozen=True, slots=True)
class LowerSoak:
    """A printed way to soak at a lower temperature for longer, never worked out between its rows.

    ``rows``: how far below the soak temperature, and the hours up to 1 in (25 mm); ``minutes_beyond`` for each further
    inch (25 mm), None where ``per_inch``: there the hours are for each inch. ``note``: where the table allows it.
    """

    rows: tuple[tuple[Printed, Fraction], ...]
    minutes_beyond: Fraction | None
    per_inch: bool
    note: str
    source: Source


@dataclass(frozen=True, slots=True)
class StressReliefProfile:
    """A named rule profile for stress relief. Rates are degrees (differences) per hour.

    ``families``/``p_numbers``: the metals it covers. ``soak_min``/``soak_max``: the printed range; either may be None,
    and without ``soak_min`` the rule names no temperature to reach, which the engineer settles. ``hold``: minutes =
    max(``hold_min_minutes``, ``hold_minutes_per_inch`` x t - ``hold_less_minutes``) up to ``hold_knee_in``, beyond it
    the value at the knee plus ``hold_minutes_per_inch_beyond`` per further inch. ``hold_round_up_in``: thickness is
    first rounded up to a multiple of this where the rule says "or fraction" (None: not). ``hold_basis``: whose
    thickness t of the hold is, ``hold_basis_words`` says it of the rule; rates always go by the thickest member.
    ``heating_max``/``cooling_max``: the cap for thin parts. Thickness divides ``heating_over``/``cooling_over``; where
    those are None it divides the cap, in inches above 1 in. Never required below ``rate_floor`` (None: no floor), and
    only above ``rate_threshold``. ``called_above``: thickness above which the rule calls for it (None: always),
    ``called_reason`` says it in words. ``loading_max``: furnace temperature when the part goes in. ``temper_margin``:
    span below the tempering temperature of quenched and tempered metal. ``qt_band``: width of the band below that
    ceiling. ``spread_max``: hottest to coldest while heating, within 15 ft (4.6 m); ``spread_hold_max``: during the
    hold. ``lower``: the printed lower temperatures with their longer holds. ``sources``: where each number comes from,
    by field name; ``source`` is that of the profile as a whole.
    """

    name: str
    title: str
    families: tuple[str, ...]
    p_numbers: tuple[str, ...]
    soak_min: Printed | None
    soak_max: Printed | None
    hold_min_minutes: Fraction
    hold_minutes_per_inch: Fraction
    hold_knee_in: Fraction | None
    hold_minutes_per_inch_beyond: Fraction
    hold_round_up_in: Fraction | None
    heating_max: Printed
    cooling_max: Printed
    rate_floor: Printed | None
    rate_threshold: Printed
    spread_max: Printed | None
    loading_max: Printed | None
    called_above: Printed | None
    called_reason: str
    temper_margin: Printed
    qt_band: Printed | None
    sources: Mapping[str, Source]
    source: Source
    spread_hold_max: Printed | None = None
    hold_less_minutes: Fraction = Fraction(0)
    hold_basis: HoldBasis = "thickest member"
    hold_basis_words: str = "the thickest member"
    heating_over: RateOver | None = None
    cooling_over: RateOver | None = None
    lower: LowerSoak | None = None


@dataclass(frozen=True, slots=True)
class WaitingRow:
    """Hours to wait before the final crack test. Applies up to a size (mm) and a heat input (kJ/mm)."""

    size_up_to_mm: Fraction | None
    heat_input_up_to_kj_mm: Fraction | None
    hours: Fraction


@dataclass(frozen=True, slots=True)
class WaitingTable:
    """A waiting-time table for one class of metal."""

    name: str
    applies_to: str
    rows: tuple[WaitingRow, ...]
    source: Source


@dataclass(frozen=True, slots=True)
class Library:
    """Everything the planner is handed. Lookups are by case-folded name or alias; None where unknown.

    ``steels`` and ``fillers`` hold every name and every alias, case-folded. ``numbers`` are limits without a
    unit of the shop's (a carbon equivalent, percent; hydrogen, ml/100 g). ``preheat_roles``: role of each method by
    family; ``casting_roles``: the same for castings, of the families whose castings are another case.
    ``hardness_rows``: of ASTM E140, from the softest on. ``visual``: what visual inspection accepts, None where nobody
    asks. ``papers``: what is usually asked of a vendor, by kind of step.
    """

    steels: Mapping[str, Steel]
    fillers: Mapping[str, Filler]
    processes: Mapping[str, Process]
    preheat_tables: Mapping[str, ThicknessTable]
    preheat_roles: Mapping[str, Mapping[str, Role]]
    printed: Mapping[str, Printed]
    profiles: Mapping[str, StressReliefProfile]
    waiting: Mapping[str, WaitingTable]
    cautions: Mapping[str, str]
    numbers: Mapping[str, tuple[Fraction, Source]] = field(default_factory=dict)
    casting_roles: Mapping[str, Mapping[str, Role]] = field(default_factory=dict)
    rule_tables: Mapping[str, RuleTable] = field(default_factory=dict)
    hardness_rows: tuple[ScaleRow, ...] = ()
    visual: "VisualCriteria | None" = None
    tolerances: Mapping[str, ToleranceTable] = field(default_factory=dict)
    papers: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def steel(self, name: str) -> Steel | None:
        """The grade of that name or alias."""
        return self.steels.get(name.casefold().strip())

    def filler(self, classification: str) -> Filler | None:
        """The filler of that classification or alias."""
        return self.fillers.get(classification.casefold().strip())

    def usual_papers(self, kind: str) -> tuple[str, ...]:
        """What is usually asked of a vendor to come back with a part whose step is of ``kind``."""
        return self.papers.get(kind, self.papers.get("any", ()))

    def names(self) -> tuple[str, ...]:
        """The grades by their own names, sorted, for "known grades: ..."."""
        return tuple(sorted({steel.name for steel in self.steels.values()}))

    def classifications(self) -> tuple[str, ...]:
        """The fillers by their own classifications, sorted."""
        return tuple(sorted({filler.classification for filler in self.fillers.values()}))
