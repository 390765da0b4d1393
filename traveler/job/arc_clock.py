"""How long a preheat reading stays good: the arc must start by then, or the reading be repeated."""

from fractions import Fraction

from traveler.job.interpass import Maximum
from traveler.job.preheat import Minimum
from traveler.job.requirement import Basis
from traveler.job.sheet import Joint, Site
from traveler.library.model import Library, Units
from traveler.metals.arc_clock import preheat_stays_good_s
from traveler.metals.measuring import preheat_reach_d11_mm
from traveler.metals.outcome import Outcome, Source
from traveler.metals.preheat_loss import PATCH_SOURCE, SCALED

METHOD = "how long a reading stays good"
STEP_S = 5
USUAL_AMBIENT_C = 20.0
CLOCK_SOURCE = Source(
    "hot disc in a cold plate (Carslaw and Jaeger) and free convection with radiation", PATCH_SOURCE.mark
)


def arc_by_s(
    reading_c: float,
    minimum_c: float,
    thickness_mm: float,
    heated_radius_mm: float | None = 75.0,
    ambient_c: float = USUAL_AMBIENT_C,
    emissivity: float = SCALED,
) -> int | None:
    """Seconds after a reading within which the arc must start, down to a multiple of 5; None where none are needed.

    Inputs: ``reading_c`` and ``minimum_c`` [degC]; ``thickness_mm`` [mm] of the thinnest member; ``heated_radius_mm``
    [mm] of a torch-heated patch, None where the part is hot as a whole; ``ambient_c`` [degC]; ``emissivity`` [1].
    0 for a reading at or below the minimum. None: a minimum that is not above the surroundings cannot be lost.
    Validity, errors and source: those of ``traveler.metals.arc_clock.preheat_stays_good_s``.

    >>> arc_by_s(162.8, 148.9, 6.35), arc_by_s(162.8, 148.9, 6.35, None), arc_by_s(25, 20, 6.35)
    (35, 75, None)
    """
    return _whole_steps(
        preheat_stays_good_s(reading_c, minimum_c, thickness_mm, heated_radius_mm, ambient_c, emissivity)
    )


def reading_clock(
    joint: Joint, minimum: Minimum, maximum: Maximum, site: Site | None, library: Library, units: Units
) -> tuple[int | None, Basis | None]:
    """Seconds for a reading a stated span above the minimum, and the row; (None, None) where nothing can be lost.

    The planner cannot know the reading, so it takes one that is that far above, or at the maximum where the window is
    narrower; an empty window has no reading to take. Of the part hot as a whole and of a torch-heated patch as wide as
    the heat must reach the shorter counts.
    """
    if minimum.limit is None or not minimum.above_floor:
        return None, None
    span = library.printed["arc clock above minimum"].for_units(units)
    minimum_c = minimum.limit.canonical
    reading_c = minimum_c + span.canonical
    if maximum.hard is not None:
        reading_c = min(reading_c, maximum.hard.canonical)
    if reading_c <= minimum_c:
        return None, None
    thinnest_mm = min(float(member.thickness.canonical) for member in joint.members)
    radius_mm = preheat_reach_d11_mm(float(joint.thickest.thickness.canonical))
    ambient_c = USUAL_AMBIENT_C
    if site is not None and site.temperature is not None:
        ambient_c = float(site.temperature.canonical)
    patch = preheat_stays_good_s(float(reading_c), float(minimum_c), thinnest_mm, radius_mm, ambient_c)
    whole = preheat_stays_good_s(float(reading_c), float(minimum_c), thinnest_mm, None, ambient_c)
    found = [seconds for seconds in (_whole_steps(patch), _whole_steps(whole)) if seconds is not None]
    if not found:
        return None, None
    above = _span_words(reading_c - minimum_c, units)
    working = (
        ("reading", f"{_temperature_words(reading_c, units)}, {above} above the minimum"),
        ("torch-heated patch", f"{_whole_steps(patch)} s, radius {radius_mm:.0f} mm"),
        ("part hot as a whole", f"{_whole_steps(whole)} s, a plate 300 mm square"),
        ("thinnest member", f"{thinnest_mm:.3g} mm"),
        ("surroundings", f"{ambient_c:.0f} °C, still air"),
        ("emissivity", f"{SCALED:g}, scaled; bright metal cools slower"),
    )
    seconds = min(found)
    row = Basis(
        method=METHOD,
        bound=None,
        role="indicative",
        status=patch.status,
        value=str(seconds),
        unit="s",
        source=CLOCK_SOURCE,
        reasons=("a reading nearer the minimum stays good for less, at the minimum not at all",),
        working=working,
    )
    return seconds, row


def _temperature_words(value_c: Fraction, units: Units) -> str:
    number, label = (value_c * Fraction(9, 5) + 32, "°F") if units == "inch" else (value_c, "°C")
    return f"{float(number):.0f} {label}"


def _span_words(span_c: Fraction, units: Units) -> str:
    number, label = (span_c * Fraction(9, 5), "F°") if units == "inch" else (span_c, "C°")
    return f"{float(number):.0f} {label}"


def _whole_steps(clock: Outcome) -> int | None:
    return None if clock.value is None else int(clock.value // STEP_S) * STEP_S
