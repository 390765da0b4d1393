"""A recorded time-temperature chart, what was asked about it, and what the judging found."""

from array import array
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from fractions import Fraction
from functools import cached_property
from typing import Literal

from traveler.chart.series import Series
from traveler.metals.outcome import Mark
from traveler.quantity.quantity import Quantity

Role = Literal["part", "furnace", "spare", "ignored"]
TemperatureUnit = Literal["degC", "degF"]
Method = Literal["logger", "hand-read", "crayon"]
SoakMode = Literal["longest", "sum"]
DecisionRule = Literal["simple", "guard"]
Bound = Literal["at_least", "at_most"]
Verdict = Literal["met", "conditional", "not met", "not shown"]


@dataclass(frozen=True)
class Channel:
    """One temperature column of the file.

    ``values`` are in the chart's unit, one a row, NaN where the file has none (an empty cell, a sentinel). A part
    couple is required; a spare stands in for the couple named by ``spare_for``; a furnace couple decides only the
    temperature at loading.
    """

    name: str
    role: Role
    values: "array[float]"
    spare_for: str | None = None

    @cached_property
    def series(self) -> Series:
        """``values`` as all who work on them share them."""
        return Series(self.values)


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart as read: every channel on one row of times.

    ``times_s``: seconds from the first row, strictly rising. ``started_at``: the first row's instant with its offset,
    None where the file shows none. ``clock_start``: what the logger's own clock showed there, without an offset or
    without a date; None where ``started_at`` says it or the file counts elapsed time. ``interval_s``: the usual time
    between rows (the median). ``sha256`` is that of the raw bytes; ``mapping`` says how they were read, in texts that
    can be stored and given back; ``notes`` are sentences about what the reader met (open cells, a clock change, rows
    sent twice).
    """

    times_s: "array[float]"
    started_at: datetime | None
    unit: TemperatureUnit
    channels: tuple[Channel, ...]
    interval_s: float
    sha256: str
    mapping: Mapping[str, object]
    notes: tuple[str, ...] = ()
    method: Method = "logger"
    clock_start: datetime | time | None = None

    def of_role(self, role: Role) -> tuple[Channel, ...]:
        """The channels of one role, in the order of the file."""
        return tuple(channel for channel in self.channels if channel.role == role)

    def stamp(self, seconds: float) -> str:
        """A time of the chart in words.

        ISO 8601 with offset; without one where the clock's zone is not stated; "08:02:00" for a clock without a date,
        with "+1 d" on the next day; "4:02:00" after the start where no clock is known.
        """
        whole = round(seconds)
        if self.started_at is not None:
            shown = (self.started_at.astimezone(UTC) + timedelta(seconds=whole)).astimezone(
                self.started_at.tzinfo
            )
            return shown.isoformat(timespec="seconds")
        start = self.clock_start
        if isinstance(start, datetime):
            return (start + timedelta(seconds=whole)).isoformat(timespec="seconds")
        if start is not None:
            day, whole = divmod(whole + start.hour * 3600 + start.minute * 60 + start.second, 86400)
            return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}" + (
                f" +{day} d" if day else ""
            )
        minutes, rest = divmod(whole, 60)
        return f"{minutes // 60}:{minutes % 60:02d}:{rest:02d}"


@dataclass(frozen=True, slots=True)
class Limit:
    """One limit with the rule that prints it: "ASME BPVC section VIII, division 1 UCS-56(d)", its edition and mark."""

    quantity: Quantity
    source: str
    mark: Mark


@dataclass(frozen=True, slots=True)
class Limits:
    """What the chart is held against; None where the rule prints nothing.

    ``soak_min``, ``soak_max``: temperatures; ``hold``: a time; ``threshold``: the temperature above which rates and
    spread count; ``heating``, ``cooling``: rates; ``spread_heating``, ``spread_soak``: differences; ``loading``: the
    furnace's temperature when the part goes in. ``thickness``: words for the working.
    """

    soak_min: Limit | None = None
    soak_max: Limit | None = None
    hold: Limit | None = None
    threshold: Limit | None = None
    heating: Limit | None = None
    cooling: Limit | None = None
    spread_heating: Limit | None = None
    spread_soak: Limit | None = None
    loading: Limit | None = None


@dataclass(frozen=True, slots=True)
class Options:
    """How the chart is judged, each stated beside the result.

    ``window_s``: length of the sliding window for rates [s]. ``soak``: the longest uninterrupted interval counts, or
    the sum of all. ``max_gap_s``: rows further apart show nothing between them; None: twice the usual interval, at
    most 10 min. ``uncertainty``: of one temperature reading, a difference, expanded (k = 2); None is taken as zero and
    said. ``loaded_s``, ``out_s``: when the part went in and came out, seconds on the chart's clock, None where nobody
    marked it.
    """

    window_s: float = 1800.0
    soak: SoakMode = "longest"
    max_gap_s: float | None = None
    uncertainty: Quantity | None = None
    rule: DecisionRule = "simple"
    loaded_s: float | None = None
    out_s: float | None = None


@dataclass(frozen=True, slots=True)
class Criterion:
    """One thing a chart must show, judged.

    ``worst`` and ``margin`` are exact numbers in ``unit`` (a unit symbol), None where the chart does not show them;
    ``margin`` is what is left to the limit, negative beyond it. ``at_s``: when on the chart's clock.
    """

    criterion: str
    bound: Bound | None
    limit: Limit | None
    worst: Fraction | None
    unit: str | None
    couple: str | None
    at_s: float | None
    margin: Fraction | None
    verdict: Verdict
    reasons: tuple[str, ...] = ()
    decides: bool = True
    """Whether it counts for the verdict on the chart; one that does not is listed for information."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of time on the chart's clock [s]."""

    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True)
class Fault:
    """A place on the chart where something fails, for whoever draws it."""

    criterion: str
    couple: str | None
    span: Stretch
    words: str


@dataclass(frozen=True, slots=True)
class Judged:
    """The verdict on a chart: the worst of the criteria that decide, and what a drawing marks."""

    verdict: Verdict
    criteria: tuple[Criterion, ...]
    soaks: tuple[Stretch, ...]
    faults: tuple[Fault, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """Something the file leaves open. ``key`` names the field of ``Told`` that answers it."""

    key: str
    sentence: str
    options: tuple[tuple[str, str], ...] = ()
    """What may be answered, each with its meaning in words."""


@dataclass(frozen=True, slots=True)
class Told:
    """What a person said about the file; None or empty where nothing was said and the reader decides or asks.

    ``couples``: names of the required part couples (empty: every temperature column is one). ``spares``: spare to
    the couple it stands in for. ``missing``: further texts that mean "no reading".
    """

    delimiter: str | None = None
    decimal: str | None = None
    header_line: int | None = None
    time: tuple[str, ...] = ()
    time_form: str | None = None
    date_order: str | None = None
    zone: str | None = None
    unit: TemperatureUnit | None = None
    missing: tuple[str, ...] = ()
    couples: tuple[str, ...] = ()
    furnace: tuple[str, ...] = ()
    spares: Mapping[str, str] = field(default_factory=dict)
    ignored: tuple[str, ...] = ()
    method: Method = "logger"
