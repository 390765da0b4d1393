"""The time by which the arc must start after a preheat reading, or the reading be repeated."""

from collections.abc import Callable
from dataclasses import replace

from traveler.metals.outcome import Outcome
from traveler.metals.preheat_loss import (
    DIFFUSIVITY_MM2_S,
    SCALED,
    Orientation,
    fall_s,
    patch_cools_s,
    share_kept_by_patch,
    whole_plate_cools_s,
)

_HALVINGS = 20


def preheat_stays_good_s(
    reading_c: float,
    minimum_c: float,
    thickness_mm: float,
    heated_radius_mm: float | None = None,
    ambient_c: float = 20.0,
    emissivity: float = SCALED,
    side_mm: float = 300.0,
    orientation: Orientation = "vertical",
    diffusivity_mm2_s: float = DIFFUSIVITY_MM2_S,
) -> Outcome:
    """Time after a reading within which the metal is still at its minimum preheat [s].

    A wholly heated part cools by its surface (``whole_plate_cools_s``). A torch-heated patch cools by its
    surface and by conduction into the cold plate at once: of the excess over the surroundings it keeps the
    product of what each loss alone would leave. For a surface loss proportional to the excess that is the
    exact solution, and the time comes out shorter than the shorter of the two alone. Those two stand in
    ``inputs`` as "by_surface_s" and "by_conduction_s".

    Inputs: ``reading_c`` and ``minimum_c`` [degC]; ``thickness_mm`` [mm]; ``heated_radius_mm`` [mm] of the
    patch, None where the part is hot as a whole; the rest as in ``preheat_loss``. Where the emissivity is not
    known the default, a scaled surface, is the side that cools faster.
    Validity: as ``whole_plate_cools_s`` and ``patch_cools_s``; a reading below the minimum has no time left:
    value 0, and a reason says so. A minimum that is not above the surroundings: ``not applicable``.
    Raises ValueError for a size that is not above zero.
    Source: those of the two losses.

    Quarter-inch plate read at 325 degF, 300 degF needed: hot as a whole 80 s, as a patch of 3 in radius 40 s.

    >>> good = [preheat_stays_good_s(162.8, 148.9, 6.35, radius) for radius in (None, 76.2)]
    >>> [round(clock.value) for clock in good]
    [80, 40]
    """
    start_c = max(reading_c, minimum_c)

    def by_surface_s(to_c: float) -> float:
        return fall_s(start_c, to_c, thickness_mm, ambient_c, emissivity, side_mm, orientation)

    clock = whole_plate_cools_s(start_c, minimum_c, thickness_mm, ambient_c, emissivity, side_mm, orientation)
    if heated_radius_mm is not None and clock.value is not None:
        conduction = patch_cools_s(start_c, minimum_c, heated_radius_mm, ambient_c, diffusivity_mm2_s)
        clock = _both(clock, conduction, by_surface_s)
    if reading_c < minimum_c and clock.value is not None:
        reason = f"the reading {reading_c:g} degC is below the minimum {minimum_c:g} degC already"
        clock = replace(clock, reasons=(reason, *clock.reasons))
    return replace(clock, inputs={**clock.inputs, "from_c": reading_c})


def _both(surface: Outcome, conduction: Outcome, by_surface_s: Callable[[float], float]) -> Outcome:
    """The clock of a patch that loses heat both ways, by halving the fall that the surface alone explains."""
    assert surface.value is not None
    assert conduction.value is not None
    inputs = {**surface.inputs, **conduction.inputs}
    from_c, to_c, ambient_c = inputs["from_c"], inputs["to_c"], inputs["ambient_c"]
    needed = (to_c - ambient_c) / (from_c - ambient_c)
    low_c, high_c, seconds = to_c, from_c, 0.0
    for _ in range(_HALVINGS if from_c > to_c else 0):
        middle_c = (low_c + high_c) / 2
        later_s = by_surface_s(middle_c)
        conducted = share_kept_by_patch(inputs["heated_radius_mm"], later_s, inputs["diffusivity_mm2_s"])
        if (middle_c - ambient_c) / (from_c - ambient_c) * conducted >= needed:
            high_c, seconds = middle_c, later_s
        else:
            low_c = middle_c
    return replace(
        conduction,
        method="torch-heated patch, conduction and surface",
        value=seconds,
        status=surface.status,
        reasons=surface.reasons,
        inputs=inputs | {"by_surface_s": surface.value, "by_conduction_s": conduction.value},
    )
