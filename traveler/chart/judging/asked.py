"""What a chart is held against, as exact numbers in the chart's own unit, and how its numbers are put in words."""

from dataclasses import dataclass
from fractions import Fraction

from traveler.chart.judging.exact import exact
from traveler.chart.judging.soak import Band
from traveler.chart.model import Chart, Limit, Limits, Method, Options
from traveler.errors import BadInput
from traveler.quantity.parse import stored, unit
from traveler.quantity.show import decimal_text, rounded_down, rounded_up
from traveler.quantity.units import Kind

HAND_READ_SPAN = stored("5", "delta_degC")
"""How far a temperature read by eye from a paper chart may be off. Common practice, no published source."""

HAND_READ_MIN = Fraction(10)
"""How far the length of a soak read by eye may be off [min]. Common practice, no published source."""

CRAYON_SHARE = Fraction(99, 100)
"""A crayon that melted shows at least this share of its mark: 1 % by a maker's claim [secondary]."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The limits in the chart's unit family: degC, delta_degC and delta_degC/h, or the same in degF; times in min.

    ``uncertainty``: of one reading, a difference, zero where nobody gave one. ``window_s``: length of the sliding
    window for rates.
    """

    chart: Chart
    limits: Limits
    soak_min: Fraction | None
    soak_max: Fraction | None
    threshold: Fraction | None
    hold_min: Fraction | None
    uncertainty: Fraction
    window_s: Fraction

    @property
    def method(self) -> Method:
        """How the chart was recorded."""
        return self.chart.method

    @property
    def unit(self) -> str:
        """Symbol of the unit of temperatures; differences and rates follow from it."""
        return self.chart.unit

    @property
    def span_unit(self) -> str:
        """Symbol of the unit of differences."""
        return f"delta_{self.chart.unit}"

    @property
    def rate_unit(self) -> str:
        """Symbol of the unit of rates."""
        return f"delta_{self.chart.unit}/h"

    @property
    def band(self) -> Band:
        """Readings that count as soak. A crayon's lower side is raised so that 99 % of its mark is still enough."""
        if self.method == "crayon":
            return Band(None if self.soak_min is None else self.soak_min / CRAYON_SHARE, None)
        return Band(self.soak_min, self.soak_max)

    @property
    def guarded_band(self) -> Band:
        """The band narrowed by the uncertainty on both sides. Raises BadInput where nothing is left of it."""
        low = None if self.soak_min is None else self.soak_min + self.uncertainty
        high = None if self.soak_max is None else self.soak_max - self.uncertainty
        if low is not None and high is not None and low > high:
            raise BadInput(
                f"readings that may be off by {self.span(self.uncertainty)} leave nothing of the soak band from "
                f"{self.degrees(low - self.uncertainty)} to {self.degrees(high + self.uncertainty)}; "
                "expected an uncertainty of at most half its width"
            )
        return Band(low, high)

    @property
    def rates_apply(self) -> bool:
        """Whether the soak is hotter than the threshold; if not, a part that stays below it needs no rate."""
        return self.threshold is None or self.soak_min is None or self.soak_min > self.threshold

    def degrees(self, value: Fraction) -> str:
        """A temperature of the chart in words, to the nearest tenth."""
        return f"{short(value)} {unit(self.unit).label}"

    def span(self, value: Fraction) -> str:
        """A difference of temperatures in words, a tenth up: it never reads smaller than it is."""
        return f"{short(value, up=True)} {unit(self.span_unit).label}"

    def rate(self, value: Fraction) -> str:
        """A rate in words, a tenth up."""
        return f"{short(value, up=True)} {unit(self.rate_unit).label}"

    def too_near(self) -> str:
        """Why a temperature inside its limit is only conditional."""
        return f"nearer to the limit than a reading may be off, {self.span(self.uncertainty)}"

    def stamp(self, at_s: Fraction | float) -> str:
        """A time of the chart in words."""
        return self.chart.stamp(float(at_s))


def asked_of(chart: Chart, limits: Limits, options: Options) -> Asked:
    """Converts the limits exactly into the unit of the chart. Raises ValueError for a limit of another kind."""
    uncertainty = Fraction(0)
    if options.uncertainty is not None:
        uncertainty = unit(f"delta_{chart.unit}").from_canonical(options.uncertainty.canonical)
    if chart.method == "hand-read":
        by_eye = unit(f"delta_{chart.unit}").from_canonical(HAND_READ_SPAN.canonical)
        uncertainty = max(uncertainty, by_eye)
    return Asked(
        chart=chart,
        limits=limits,
        soak_min=_number(limits.soak_min, chart.unit),
        soak_max=_number(limits.soak_max, chart.unit),
        threshold=_number(limits.threshold, chart.unit),
        hold_min=_number(limits.hold, "min"),
        uncertainty=uncertainty,
        window_s=exact(options.window_s),
    )


def number_in(limit: Limit, symbol: str) -> Fraction:
    """The limit in the unit with that symbol. Raises ValueError where it measures something else."""
    target = unit(symbol)
    if limit.quantity.unit.kind is not target.kind:
        raise ValueError(f"a limit in {limit.quantity.unit.label} is no {Kind(target.kind).value}")
    return target.from_canonical(limit.quantity.canonical)


def _number(limit: Limit | None, symbol: str) -> Fraction | None:
    return None if limit is None else number_in(limit, symbol)


def short(value: Fraction, up: bool = False) -> str:
    """A number in words with one decimal."""
    return rounded_up(value, 1) if up else decimal_text(value, 1)


def lasted(value_min: Fraction) -> str:
    """Minutes in words, a tenth down: a soak never reads longer than it is."""
    return f"{rounded_down(value_min, 1)} min"
