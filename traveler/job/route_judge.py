"""The hardness that a route ends with, held against the job's limit."""

from collections.abc import Sequence
from dataclasses import dataclass

from traveler.job.rough import hv_up
from traveler.job.route_hardness import Hardness
from traveler.metals.hardness_scales import ScaleRow, hv_from_hb, hv_from_hrc
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show


@dataclass(frozen=True, slots=True)
class HardnessLimit:
    """The job's limit as typed and in HV, which is None where the table does not reach it."""

    typed: Quantity
    hv: float | None
    reasons: tuple[str, ...]

    def words(self) -> str:
        """As typed, and in HV where that is another scale."""
        if self.typed.unit.symbol == "HV" or self.hv is None:
            return show(self.typed)
        return f"{show(self.typed)} ({self.hv:.0f} HV by ASTM E140)"


def in_hv(limit: Quantity, rows: Sequence[ScaleRow]) -> HardnessLimit:
    """A hardness limit in HV by the conversion table."""
    if limit.unit.symbol == "HV":
        return HardnessLimit(limit, float(limit.canonical), ())
    convert = hv_from_hrc if limit.unit.symbol == "HRC" else hv_from_hb
    outcome = convert(rows, float(limit.canonical))
    return HardnessLimit(limit, outcome.value, outcome.reasons)


@dataclass(frozen=True, slots=True)
class Judged:
    """``within_scatter``: below the limit, but by less than the scatter of the methods."""

    fails: tuple[str, ...] = ()
    says: tuple[str, ...] = ()
    within_scatter: bool = False


def judge_hardness(limit: HardnessLimit | None, last: Sequence[Hardness], name: str) -> Judged:
    """Every metal of the joint against the limit, by the upper end of its band; what is not known is not met.

    ``name`` is what a broken limit is called. ``last`` is empty where the hardness could not be worked out at all.
    """
    if limit is None:
        return Judged()
    if limit.hv is None:
        reasons = "; ".join(limit.reasons)
        return Judged(
            (f"{name}: {show(limit.typed)} cannot be compared with a prediction in HV ({reasons})",)
        )
    if not last:
        return Judged((f"{name}: not predicted, since no soak temperature is settled",))
    unknown = tuple(
        f"{name}: not predicted for {hardness.material} ({'; '.join(hardness.reasons)})"
        for hardness in last
        if hardness.high_hv is None and not hardness.soft
    )
    over = tuple(
        f"{name}: up to {hv_up(hardness.high_hv)} HV predicted beside {hardness.material}, limit {limit.words()}"
        for hardness in last
        if hardness.high_hv is not None and hardness.high_hv > limit.hv
    )
    if unknown or over:
        return Judged((*over, *unknown))
    close = max(last, key=_with_scatter)
    if _with_scatter(close) <= limit.hv:
        return Judged()
    said = (
        f"{name}: {limit.words()} is kept by less than the scatter of {close.scatter_hv:.0f} HV beside "
        f"{close.material}: a coupon shows it, not this prediction"
    )
    return Judged((), (said,), True)


def _with_scatter(hardness: Hardness) -> float:
    return 0.0 if hardness.high_hv is None else hardness.high_hv + hardness.scatter_hv


def hardness_words(last: Sequence[Hardness]) -> tuple[str, ...]:
    """What the hardness of each metal rests on: extrapolation first, then what was assumed."""
    said = []
    for hardness in last:
        if hardness.extrapolated:
            said.append(f"hardness of {hardness.material} extrapolated: {'; '.join(hardness.reasons)}")
        elif hardness.high_hv is None:
            said.append(f"hardness of {hardness.material} not predicted: {'; '.join(hardness.reasons)}")
        said += [f"hardness of {hardness.material}: {words}" for words in hardness.assumed]
    return tuple(said)
