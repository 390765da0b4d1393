"""What a chart is held against without any job: the limits that a rule profile prints for a thickness."""

from dataclasses import replace
from fractions import Fraction

from traveler.chart.model import Limit, Limits
from traveler.job.chart_limits import relief_limits, source_words
from traveler.job.relief_limits import at_loading, chart_only, time_and_rates
from traveler.library.model import Printed, StressReliefProfile, Units
from traveler.quantity.quantity import Quantity


def profile_limits(
    profile: StressReliefProfile, thickness_in: Fraction, units: Units, ceiling: Quantity | None
) -> Limits:
    """The limits that a rule profile prints for one thickness [in], without any job.

    ``ceiling``: a temperature that no couple may exceed, where the metal sets one; the lower of it and the profile's
    own counts.
    """
    loading = at_loading(profile, units)
    requirements = [
        *time_and_rates(profile, units, thickness_in, thickness_in),
        *([loading] if loading else []),
    ]
    limits = relief_limits(requirements, chart_only(profile, units))
    highs = [_printed_limit(profile.soak_max, units, profile.name)] if profile.soak_max else []
    if ceiling is not None:
        highs.append(Limit(ceiling, "ceiling as stated", "common practice, no published source"))
    return replace(
        limits,
        soak_min=_printed_limit(profile.soak_min, units, profile.name) if profile.soak_min else None,
        soak_max=min(highs, key=lambda high: high.quantity.canonical, default=None),
    )


def _printed_limit(printed: Printed, units: Units, name: str) -> Limit:
    return Limit(printed.for_units(units), source_words(printed.source) or name, printed.source.mark)
