"""Hardness beside the weld of each metal of a joint: predicted as welded, and after stress relief."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from traveler.job.analysis import Analysis, analyse
from traveler.job.sheet import Joint, Material
from traveler.job.weld_cycle import NEEDED, Start, predictions
from traveler.job.weld_cycle_rows import AUSTENITIC
from traveler.metals.composition import Composition
from traveler.metals.hardness_scales import ScaleRow, hrc_from_hv, hv_from_hrc
from traveler.metals.haz_band import SCATTER_HV
from traveler.metals.maynier import COMPOSITION_BOX
from traveler.metals.outcome import Outcome
from traveler.metals.tempering import (
    CARBON_RANGE,
    SCATTER_RMS_HRC,
    grange_baughman_parameter,
    tempered_hardness,
)

STANDARD_DEVIATIONS = 2
"""Of a method's scatter that go on each side of a value."""

_SAID_WITH_EVERY_VALUE = frozenset(tempered_hardness(25.0, {"C": 0.4}).reasons)


@dataclass(frozen=True, slots=True)
class Hardness:
    """Predicted hardness beside the weld in one metal [HV]; both ends None where nothing can be said.

    ``scatter_hv`` goes on both sides and is not in the band. ``extrapolated``: a method behind it is outside its
    validity; ``reasons`` say which, or why there is no value. ``assumed``: what stands in for an analysis. ``soft``: a
    metal that does not harden beside a weld at all.
    """

    material: str
    low_hv: float | None
    high_hv: float | None
    scatter_hv: float = 0.0
    extrapolated: bool = False
    reasons: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    soft: bool = False


def as_welded(joint: Joint, material: Material, start_c: float) -> Hardness:
    """Band beside a run that starts at ``start_c``, the one that the plan predicts."""
    if material.steel.family == AUSTENITIC:
        reason = "austenitic: it does not turn hard beside a weld"
        return Hardness(material.id, None, None, reasons=(reason,), soft=True)
    analysis = analyse(material, (joint,))
    found = predictions(joint, material, analysis, [Start(start_c, "")])
    if isinstance(found, str):
        return Hardness(material.id, None, None, reasons=(found,))
    (run,) = found
    return Hardness(
        material=material.id,
        low_hv=run.low_hv,
        high_hv=run.high_hv,
        scatter_hv=SCATTER_HV,
        extrapolated=run.status == "extrapolated",
        reasons=() if run.status == "ok" else run.reasons,
        assumed=_assumed(analysis),
    )


def relieved(
    joint: Joint,
    material: Material,
    before: Hardness,
    soak_c: tuple[float, float],
    hours: float,
    rows: Sequence[ScaleRow],
) -> Hardness:
    """Band after ``hours`` between the two soak temperatures, and never harder than ``before``.

    The method is for metal that was all martensite, so its value is an upper bound; where the zone was softer than
    that as welded, it stays so.
    """
    composition = known_composition(joint, material)
    if composition is None:
        return before
    cold, hot = (tempered(composition, temperature_c, hours) for temperature_c in soak_c)
    reasons = tuple(dict.fromkeys((*_cautions(cold), *_cautions(hot))))
    if cold.value is None or hot.value is None:
        return _kept(before, reasons)
    after = Hardness(
        material=material.id,
        low_hv=hot.value,
        high_hv=cold.value,
        scatter_hv=tempering_scatter_hv(cold.value, rows),
        extrapolated="extrapolated" in (cold.status, hot.status),
        reasons=reasons,
        assumed=_assumed(analyse(material, (joint,))),
    )
    return _softer(before, after)


def tempered(composition: Composition, temperature_c: float, hours: float) -> Outcome:
    """Hardness of martensite of this composition after a hold.

    Carbon below the method's range is taken at its lower end: harder, so still an upper bound, and extrapolated.
    """
    parameter = grange_baughman_parameter(temperature_c, hours)
    below = CARBON_RANGE.below(composition["C"])
    if below is None or CARBON_RANGE.low is None:
        return tempered_hardness(parameter, composition)
    outcome = tempered_hardness(parameter, {**composition, "C": CARBON_RANGE.low})
    if outcome.value is None:
        return outcome
    reason = f"{below}: worked out at {CARBON_RANGE.low:g} %, which is harder"
    return replace(outcome, status="extrapolated", reasons=(reason, *outcome.reasons))


def tempering_scatter_hv(value_hv: float, rows: Sequence[ScaleRow]) -> float:
    """The scatter of the tempering method at a hardness [HV]; below 20 HRC that of 20 HRC, above the table none.

    In HRC it is the same everywhere; ASTM E140 turns it into HV.
    """
    softest = min(rows, key=lambda row: row.hv)
    start_hv = max(value_hv, softest.hv)
    start = hrc_from_hv(rows, start_hv).value
    if start is None:
        return 0.0
    end = hv_from_hrc(rows, start + STANDARD_DEVIATIONS * SCATTER_RMS_HRC).value
    return 0.0 if end is None else end - start_hv


def hardest(predictions: Iterable[Hardness]) -> Hardness | None:
    """The one with the highest upper end; None where none has a value."""
    known = [prediction for prediction in predictions if prediction.high_hv is not None]
    return max(known, key=lambda prediction: prediction.high_hv or 0.0) if known else None


def known_composition(joint: Joint, material: Material) -> Composition | None:
    """Composition on the harder side; None where too little is known of it, or the metal does not harden."""
    analysis = analyse(material, (joint,))
    unknown = analysis.missing_for(NEEDED) or "C" not in analysis.composition
    return None if unknown or material.steel.family == AUSTENITIC else analysis.composition


def _assumed(analysis: Analysis) -> tuple[str, ...]:
    """What stands in for an analysis, and boron, which no method here counts: there the band may be too low."""
    said = []
    if analysis.assumed:
        elements = ", ".join(f"{element} {content:g}" for element, content in analysis.assumed.items())
        said.append(
            f"worst case, {elements} at the grade's maximum: metal with its own certificate may be softer"
        )
    if any(
        limit.name == "B" and limit.above(analysis.composition.get("B", 0.0)) for limit in COMPOSITION_BOX
    ):
        said.append("it holds boron, which no method here counts: it may be harder than predicted")
    return tuple(said)


def _kept(before: Hardness, reasons: tuple[str, ...]) -> Hardness:
    """No answer from the tempering method: relief does not harden, so what was before is the bound, and said."""
    if before.high_hv is None:
        return replace(before, reasons=tuple(dict.fromkeys((*before.reasons, *reasons))))
    said = f"after relief not worked out ({'; '.join(reasons)}): taken as no softer than as welded"
    return replace(before, extrapolated=True, reasons=(*before.reasons, said))


def _softer(before: Hardness, after: Hardness) -> Hardness:
    if before.high_hv is None or before.low_hv is None or after.high_hv is None or after.low_hv is None:
        return after
    kept = before if before.high_hv < after.high_hv else after
    return replace(kept, low_hv=min(before.low_hv, after.low_hv))


def _cautions(outcome: Outcome) -> tuple[str, ...]:
    """Why a value is extrapolated or missing, without what the method says with every value."""
    return tuple(reason for reason in outcome.reasons if reason not in _SAID_WITH_EVERY_VALUE)
