"""What the library hands out: steels, fillers, processes and rule tables, each number with its source."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from traveler.metals.outcome import Source
from traveler.quantity.quantity import Quantity

Units = Literal["inch", "metric"]
Role = Literal["governs", "cross-check", "indicative"]


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
    yield strength of the specification, for waiting times. ``d11_category``: of AWS D1.1 table 3.3, for
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
class ThicknessTable:
    """A minimum by thickness, thinnest row first.

    ``grace_mm``: a thickness over a row by no more than this is that row.
    ``note``: what the table says beside its numbers, in our own words.
    """

    name: str
    title: str
    rows: tuple[ThicknessRow, ...]
    grace_mm: Fraction
    source: Source
    note: str | None = None


@dataclass(frozen=True, slots=True)
class StressReliefProfile:
    """A named rule profile for stress relief. Rates are degrees (differences) per hour.

    ``families``/``p_numbers``: the metals it covers. ``soak_min``/``soak_max``: the printed range (max may
    be None). ``hold``: minutes = max(``hold_min_minutes``, ``hold_minutes_per_inch`` x t) up to
    ``hold_knee_in``, beyond it the value at the knee plus ``hold_minutes_per_inch_beyond`` per further inch.
    ``hold_round_up_in``: thickness is first rounded up to a multiple of this where the rule says "or
    fraction" (None: not). ``heating_max``/``cooling_max``: the cap for thin parts; divided by thickness in
    inches above 1 in; never required below ``rate_floor``; only above ``rate_threshold``. ``called_above``:
    thickness above which the rule calls for it (None: always), ``called_reason`` says it in words.
    ``loading_max``: furnace temperature when the part goes in. ``temper_margin``: span below the tempering
    temperature of quenched and tempered metal. ``qt_band``: width of the band below that ceiling.
    ``spread_max``: hottest to coldest while heating, within 15 ft (4.6 m); ``spread_hold_max``: during the
    hold. ``sources``: where each number comes from, by field name; ``source`` is that of the profile as a
    whole.
    """

    name: str
    title: str
    families: tuple[str, ...]
    p_numbers: tuple[str, ...]
    soak_min: Printed
    soak_max: Printed | None
    hold_min_minutes: Fraction
    hold_minutes_per_inch: Fraction
    hold_knee_in: Fraction | None
    hold_minutes_per_inch_beyond: Fraction
    hold_round_up_in: Fraction | None
    heating_max: Printed
    cooling_max: Printed
    rate_floor: Printed
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
    unit of the shop's (a carbon equivalent, percent; hydrogen, ml/100 g).
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

    def steel(self, name: str) -> Steel | None:
        """The grade of that name or alias."""
        return self.steels.get(name.casefold().strip())

    def filler(self, classification: str) -> Filler | None:
        """The filler of that classification or alias."""
        return self.fillers.get(classification.casefold().strip())

    def names(self) -> tuple[str, ...]:
        """The grades by their own names, sorted, for "known grades: ..."."""
        return tuple(sorted({steel.name for steel in self.steels.values()}))

    def classifications(self) -> tuple[str, ...]:
        """The fillers by their own classifications, sorted."""
        return tuple(sorted({filler.classification for filler in self.fillers.values()}))
