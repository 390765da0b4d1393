"""Hydrogen release after welding: what a hold or a bake leaves in the joint, and when a bake is asked for."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from traveler.job.analysis import analyse
from traveler.job.interpass import Maximum
from traveler.job.preheat import Minimum
from traveler.job.preheat_tables import worst_ce_iiw
from traveler.job.requirement import Basis
from traveler.job.rough import percent_down, percent_up
from traveler.job.sheet import Joint
from traveler.library.model import Library, Units
from traveler.metals.hydrogen import hydrogen_left
from traveler.metals.outcome import Source, Status
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import decimal_text, show, show_both

LEFT = "hydrogen left"
DIFFUSION_SOURCE = Source(
    "plate with two open faces (Crank); diffusivities by Coe and Moreton 1969 and by Sakamoto and Tabaru 1981",
    "memory",
)
SPREAD = ("published diffusivities differ that much; the slow one was measured near room temperature",)
NOT_FERRITIC = ("austenitic", "nickel")
MM_PER_INCH = Fraction("25.4")


def hydrogen_row(
    joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units
) -> Basis | None:
    """What holding at the preheat minimum leaves of the hydrogen, as a share; beside it two kinds of bake.

    A bake above the joint's maximum is left out. None where room temperature is enough to weld at, and for weld metal
    that keeps its hydrogen.
    """
    if minimum.limit is None or not minimum.above_floor or joint.filler.filler.kind in NOT_FERRITIC:
        return None
    least_h, most_h = _hours(library, "hold")
    thickness_mm = float(joint.thickest.thickness.canonical)
    held = _left(thickness_mm, [float(minimum.limit.canonical)], (least_h, most_h))
    practice = library.numbers["hold hours, least"][1]
    return Basis(
        method=f"{LEFT} after {least_h:g} to {most_h:g} h at the preheat minimum",
        bound=None,
        role="indicative",
        status=held.status,
        value=held.ends[0] if held.ends else None,
        value_to=held.ends[1] if held.ends else None,
        unit="%",
        source=DIFFUSION_SOURCE,
        reasons=held.reasons,
        working=(
            ("between two open faces", f"{thickness_mm:.3g} mm, the thickest member"),
            ("at", f"{show_both(minimum.limit)}, times as TWI Job Knowledge 46 gives them [{practice.mark}]"),
            *_bakes(thickness_mm, joint, maximum, library, units),
        ),
    )


def _bakes(
    thickness_mm: float, joint: Joint, maximum: Maximum, library: Library, units: Units
) -> list[tuple[str, str]]:
    least_h, most_h = _hours(library, "bake")
    low, high = _bake_range(library, units)
    rule, thumb_h = library.printed["bake by rule of thumb"], float(_thumb_hours(joint, library))
    thumb = rule.for_units(units)
    baked = _left(thickness_mm, [float(low.canonical), float(high.canonical)], (least_h, most_h))
    by_thumb = _left(thickness_mm, [float(thumb.canonical)], [thumb_h])
    found = [
        (high, f"after {least_h:g} to {most_h:g} h at {show(low)} to {show(high)}", baked.words()),
        (
            thumb,
            f"after {thumb_h:.2g} h at {show(thumb)}, the rule of thumb of 1 h per inch",
            f"{by_thumb.words()} (Inspectioneering 2014 [{rule.source.mark}])",
        ),
    ]
    ceiling = maximum.hard
    return [
        (after, left) for top, after, left in found if ceiling is None or top.canonical <= ceiling.canonical
    ]


@dataclass(frozen=True, slots=True)
class Left:
    """Least and most hydrogen left, in percent as text; None where the diffusivities have no value."""

    ends: tuple[str, str] | None
    status: Status
    reasons: tuple[str, ...]

    def words(self) -> str:
        """ "40 to 85 %"."""
        return " to ".join(self.ends) + " %" if self.ends else f"{self.status}: {'; '.join(self.reasons)}"


def _left(thickness_mm: float, temperatures_c: Sequence[float], hours: Sequence[float]) -> Left:
    bands = [hydrogen_left(thickness_mm, at_c, time_h) for at_c in temperatures_c for time_h in hours]
    least = [band.least.value for band in bands if band.least.value is not None]
    most = [band.most.value for band in bands if band.most.value is not None]
    if not least or not most:
        return Left(None, bands[0].most.status, bands[0].most.reasons)
    outside = any(band.most.status != "ok" or band.least.status != "ok" for band in bands)
    return Left(
        (str(percent_down(min(least))), str(percent_up(max(most)))),
        "extrapolated" if outside else "ok",
        SPREAD,
    )


def bake_note(joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units) -> str | None:
    """The bake that thick and rich metal is given where no stress relief follows; None where none is asked for."""
    richest = _richest(joint)
    if richest is None or not _is_asked_for(joint, richest, library, units):
        return None
    thickest = joint.thickest.thickness
    rule = library.numbers["bake ce"][1]
    opening = (
        f"{joint.id}: CE(IIW) {richest:.2f} and {show_both(thickest)} thick, and no stress relief follows:"
    )
    marks = f"[{library.printed['bake from'].source.mark}; that it is asked for {rule.mark}]"
    words = f"{opening} {_bake_words(joint, minimum, maximum, library, units)} {marks}."
    between = library.cautions["between M90 and Ms"] in minimum.notes
    return f"{words} {library.cautions['bake above M90']}" if between else words


def _richest(joint: Joint) -> float | None:
    equivalents = [_carbon_equivalent(joint, index) for index in range(len(joint.members))]
    return max((ce for ce in equivalents if ce is not None), default=None)


def _is_asked_for(joint: Joint, richest: float, library: Library, units: Units) -> bool:
    thick = library.printed["bake thickness"].for_units(units)
    return (
        joint.filler.filler.kind not in NOT_FERRITIC
        and richest >= library.numbers["bake ce"][0]
        and joint.thickest.thickness.canonical >= thick.canonical
    )


@dataclass(frozen=True, slots=True)
class Bake:
    """The bake asked for: from the coldest to the hottest temperature, for at least so many hours.

    ``hottest`` is None where the preheat minimum lies above the usual range.
    """

    coldest: Quantity
    hottest: Quantity | None
    hours: Fraction


def bake_asked(
    joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units
) -> Bake | None:
    """The bake that ``bake_note`` speaks of, where its numbers are settled; None where the engineer gives them."""
    richest = _richest(joint)
    if richest is None or not _is_asked_for(joint, richest, library, units):
        return None
    low, high = _bake_range(library, units)
    ceiling, start = maximum.hard, minimum.limit
    if start is None or (ceiling is not None and ceiling.canonical < high.canonical):
        return None
    hours = max(library.numbers["bake hours, most"][0], _thumb_hours(joint, library))
    coldest = max((low, start), key=lambda q: q.canonical)
    return Bake(coldest, high if coldest.canonical < high.canonical else None, hours)


def _bake_words(joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units) -> str:
    high = _bake_range(library, units)[1]
    ceiling, start = maximum.hard, minimum.limit
    if ceiling is not None and ceiling.canonical < high.canonical:
        return (
            f"it is to be baked straight from the preheat, but its maximum of {show_both(ceiling)} lies below the "
            f"usual {show_both(high)}: the engineer gives temperature and time"
        )
    bake = bake_asked(joint, minimum, maximum, library, units)
    if start is None or bake is None:
        return "it is to be baked straight from the preheat: the engineer gives temperature and time"
    range_c = [float(q.canonical) for q in (bake.coldest, bake.hottest) if q is not None]
    top = f" to {show_both(bake.hottest)}" if bake.hottest else " at least"
    left = _left(float(joint.thickest.thickness.canonical), range_c, [float(bake.hours)])
    return (
        f"bake it straight from the preheat, never colder than {show_both(start)} before, at {show_both(bake.coldest)}"
        f"{top} for {_hours_words(bake.hours)}; that leaves {left.words()} of the hydrogen, by published diffusivities"
    )


def _carbon_equivalent(joint: Joint, index: int) -> float | None:
    member = joint.members[index]
    return worst_ce_iiw(member, analyse(member.material, (joint,)))


def _bake_range(library: Library, units: Units) -> tuple[Quantity, Quantity]:
    return library.printed["bake from"].for_units(units), library.printed["bake to"].for_units(units)


def _hours(library: Library, name: str) -> tuple[float, float]:
    least, most = (library.numbers[f"{name} hours, {end}"][0] for end in ("least", "most"))
    return float(least), float(most)


def _thumb_hours(joint: Joint, library: Library) -> Fraction:
    per_inch = library.numbers["bake hours per inch by rule of thumb"][0]
    return max(Fraction(1), per_inch * joint.thickest.thickness.canonical / MM_PER_INCH)


def _hours_words(hours: Fraction) -> str:
    return f"{decimal_text(hours, 1).removesuffix('.0')} h"
