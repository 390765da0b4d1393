"""The decision for a joint: more preheat, or heat treatment afterwards. Every combination and the limits it breaks.

Nothing is recommended. A combination satisfies the job's limits or it does not, each broken limit is named, and
whatever rests on a value outside its method's validity says so.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from traveler.job.analysis import certificate_conflicts
from traveler.job.heat_input_window import EnergyWindow, arc_energy_window
from traveler.job.interpass import Maximum, maximum_interpass
from traveler.job.preheat import Minimum, minimum_preheat
from traveler.job.relief import SoakBand, soak_band
from traveler.job.route_after import Bake, ReliefChoice, bakes_after, profiles_covering, relief_choices
from traveler.job.route_hardness import Hardness, relieved
from traveler.job.route_judge import HardnessLimit, hardness_words, in_hv, judge_hardness
from traveler.job.route_preheat import Martensite, PreheatChoice, martensite_ranges, preheat_choices
from traveler.job.sheet import Joint, Sheet, materials_of
from traveler.job.two_routes import two_routes
from traveler.library.model import Library
from traveler.library.routes import RouteChoices
from traveler.metals.hardness_scales import ScaleRow

AFTER_WELDING, AFTER_RELIEF = "hardness after welding", "hardness after relief"


@dataclass(frozen=True, slots=True)
class Route:
    """One combination of ``preheat``, ``bake`` and ``relief``.

    ``after``: hardness of each metal after relief, empty without one. ``within_scatter``: keeps the job's hardness
    limit, but by less than the scatter of the methods. ``extrapolated``: the hardness it ends with rests on such.
    ``hours``: least and most at temperature.
    """

    preheat: PreheatChoice
    bake: Bake
    relief: ReliefChoice
    after: tuple[Hardness, ...]
    fails: tuple[str, ...]
    says: tuple[str, ...]
    within_scatter: bool
    extrapolated: bool
    hours: tuple[float, float]

    @property
    def satisfies(self) -> bool:
        """Breaks no limit of the job."""
        return not self.fails


@dataclass(frozen=True, slots=True)
class JointRoutes:
    """Every route of a joint with the limits that it was held against.

    ``soak``: of the profile that is weighed, None without one. ``conflicts``: what the plan says against the joint.
    ``notes``: the two ways past martensite, and why no stress relief is weighed.
    """

    joint: Joint
    minimum: Minimum
    maximum: Maximum
    soak: SoakBand | None
    energy: EnergyWindow
    hardness_limit: HardnessLimit | None
    martensite: tuple[Martensite, ...]
    routes: tuple[Route, ...]
    conflicts: tuple[str, ...]
    notes: tuple[str, ...]


def routes_of(sheet: Sheet, joint: Joint, library: Library, choices: RouteChoices) -> JointRoutes:
    """Every combination of preheat, interpass, bake and stress relief for one joint, at the sheet's heat input.

    Limits and predictions are those of the plan.
    """
    rows = library.hardness_rows
    minimum = minimum_preheat(joint, library, sheet.units, sheet.site)
    maximum = maximum_interpass(joint, minimum, library, sheet.units)
    energy = arc_energy_window(joint, minimum, maximum, library, sheet.units)
    limit = None if sheet.hardness_limit is None else in_hv(sheet.hardness_limit, rows)
    ranges = martensite_ranges(joint)
    reliefs = relief_choices(sheet, library, choices)
    always = tuple(_always(joint, minimum, maximum, energy))
    routes = tuple(
        _route(joint, limit, always, preheat, bake, relief, rows)
        for preheat in preheat_choices(joint, minimum, maximum, library, sheet.units, choices)
        for bake in bakes_after(joint, preheat, ranges, library, sheet.units)
        for relief in reliefs
    )
    return JointRoutes(
        joint=joint,
        minimum=minimum,
        maximum=maximum,
        soak=_soak(sheet, reliefs, library),
        energy=energy,
        hardness_limit=limit,
        martensite=ranges,
        routes=routes,
        conflicts=tuple(dict.fromkeys((*minimum.conflicts, *maximum.conflicts, *energy.conflicts))),
        notes=(
            *two_routes(joint, minimum.limit, library, sheet.units),
            *_no_profile(joint, reliefs, library),
        ),
    )


def _always(joint: Joint, minimum: Minimum, maximum: Maximum, energy: EnergyWindow) -> Iterator[str]:
    """What every route of the joint breaks. An empty window is not here: a route breaks one end of it or the other."""
    for material in materials_of((joint,)):
        yield from (f"certificate: {said}" for said in certificate_conflicts(material, (joint,)))
    yield from (f"preheat minimum: {said}" for said in minimum.conflicts)
    empty = (
        minimum.limit is not None
        and maximum.interpass is not None
        and minimum.limit.canonical > maximum.interpass.canonical
    )
    # maximum_interpass says an empty window last
    yield from (f"ceiling: {said}" for said in maximum.conflicts[: -1 if empty else None])
    yield from (f"heat input: {said}" for said in energy.conflicts)


def _soak(sheet: Sheet, reliefs: Sequence[ReliefChoice], library: Library) -> SoakBand | None:
    name = next((relief.profile for relief in reliefs if relief.profile), None)
    return None if name is None else soak_band(sheet, library.profiles[name], library)


def _no_profile(joint: Joint, reliefs: Sequence[ReliefChoice], library: Library) -> tuple[str, ...]:
    if any(relief.profile for relief in reliefs):
        return ()
    covering = profiles_covering(joint, library)
    known = (
        f"these cover the joint: {', '.join(covering)}"
        if covering
        else "none in the library covers the joint"
    )
    return (f"No stress relief is weighed: the sheet names no rule profile ({known}).",)


def _route(
    joint: Joint,
    limit: HardnessLimit | None,
    always: tuple[str, ...],
    preheat: PreheatChoice,
    bake: Bake,
    relief: ReliefChoice,
    rows: Sequence[ScaleRow],
) -> Route:
    after = _after(joint, preheat, relief, rows)
    last, name = (after, AFTER_RELIEF) if relief.profile else (preheat.hardness, AFTER_WELDING)
    judged = judge_hardness(limit, last, name)
    stages = ((preheat.even_h, preheat.even_h), preheat.hold_h, bake.further_h, relief.hours)
    return Route(
        preheat=preheat,
        bake=bake,
        relief=relief,
        after=after,
        fails=_once(always, preheat.fails, bake.fails, relief.fails, judged.fails),
        says=_once(preheat.says, bake.says, relief.says, judged.says, hardness_words(last)),
        within_scatter=judged.within_scatter,
        extrapolated=any(hardness.extrapolated for hardness in last),
        hours=(sum(least for least, _ in stages), sum(most for _, most in stages)),
    )


def _once(*said: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(sentence for group in said for sentence in group))


def _after(
    joint: Joint, preheat: PreheatChoice, relief: ReliefChoice, rows: Sequence[ScaleRow]
) -> tuple[Hardness, ...]:
    """Hardness of each metal after relief; empty without one, and where its soak temperature is not settled."""
    if relief.soak is None:
        return ()
    soak_c = (float(relief.soak[0].canonical), float(relief.soak[1].canonical))
    return tuple(
        relieved(joint, material, before, soak_c, relief.hold_h, rows)
        for material, before in zip(materials_of((joint,)), preheat.hardness, strict=True)
    )
