"""What a recorded chart of a step is held against: the step's own requirements, and those only a chart can show."""

import hashlib
import json
from collections.abc import Mapping, Sequence

from traveler.chart.model import Limit, Limits
from traveler.job.quantities import (
    BAKE_TEMPERATURE,
    BAKE_TIME,
    COOLING_RATE,
    HEATING_RATE,
    LOADING,
    SOAK_TEMPERATURE,
    SOAK_TIME,
    SPREAD_HEATING,
    SPREAD_SOAK,
    THRESHOLD,
    UNCOVERING,
)
from traveler.job.quantity_act import quantity_to_act
from traveler.job.requirement import Bound, Requirement, StepPlan
from traveler.metals.outcome import Source
from traveler.quantity.quantity import compare

ANSWERS: Mapping[str, Mapping[str, str]] = {
    "stress relief": {
        "soak temperature": SOAK_TEMPERATURE,
        "highest temperature": SOAK_TEMPERATURE,
        "soak time": SOAK_TIME,
        "heating rate": HEATING_RATE,
        "cooling rate": COOLING_RATE,
        "temperature at loading": LOADING,
    },
    "hydrogen release": {"exit into still air": UNCOVERING},
}
"""By kind of step: the criterion of a chart and the quantity of the requirement that it answers."""


def step_limits(step: StepPlan) -> Limits:
    """The limits for a chart of a stress relief or of a hydrogen release; of several joints the strictest."""
    return (
        bake_limits(step)
        if step.kind == "hydrogen release"
        else relief_limits(step.requirements, step.chart_limits)
    )


def relief_limits(requirements: Sequence[Requirement], chart_only: Sequence[Requirement]) -> Limits:
    """The limits of a stress relief, from its requirements and what only a chart is held against."""
    by_quantity = {requirement.quantity: requirement for requirement in (*requirements, *chart_only)}

    def limit(quantity: str, bound: Bound) -> Limit | None:
        requirement = by_quantity.get(quantity)
        return None if requirement is None else _limit(requirement, bound)

    return Limits(
        soak_min=limit(SOAK_TEMPERATURE, "at_least"),
        soak_max=limit(SOAK_TEMPERATURE, "at_most"),
        hold=limit(SOAK_TIME, "at_least"),
        threshold=limit(THRESHOLD, "at_most"),
        heating=limit(HEATING_RATE, "at_most"),
        cooling=limit(COOLING_RATE, "at_most"),
        spread_heating=limit(SPREAD_HEATING, "at_most"),
        spread_soak=limit(SPREAD_SOAK, "at_most"),
        loading=limit(LOADING, "at_most"),
    )


def bake_limits(step: StepPlan) -> Limits:
    """The limits of a bake for hydrogen: range and time where one is asked for, and where the cover comes off."""
    return Limits(
        soak_min=_strictest(step.chart_limits, BAKE_TEMPERATURE, "at_least"),
        soak_max=_strictest(step.chart_limits, BAKE_TEMPERATURE, "at_most"),
        hold=_strictest(step.chart_limits, BAKE_TIME, "at_least"),
        threshold=_strictest(step.requirements, UNCOVERING, "at_most"),
    )


def limits_digest(step: StepPlan) -> str:
    """Digest of the numbers that a chart of the step is held against; another one means that the limits changed."""
    numbers = [
        [
            requirement.quantity,
            requirement.joint,
            requirement.undetermined,
            quantity_to_act(requirement.at_least),
            quantity_to_act(requirement.at_most),
        ]
        for requirement in (*step.requirements, *step.chart_limits)
        if requirement.type == "number"
    ]
    text = json.dumps(numbers, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:20]


def _strictest(requirements: Sequence[Requirement], quantity: str, bound: Bound) -> Limit | None:
    strictest: Limit | None = None
    for requirement in requirements:
        found = _limit(requirement, bound) if requirement.quantity == quantity else None
        if found is None:
            continue
        if strictest is None or (compare(found.quantity, strictest.quantity) > 0) == (bound == "at_least"):
            strictest = found
    return strictest


def _limit(requirement: Requirement, bound: Bound) -> Limit | None:
    """The number and the source of the row that set it."""
    low = bound == "at_least"
    quantity = requirement.at_least if low else requirement.at_most
    method = requirement.governed_at_least if low else requirement.governed_at_most
    rows = [row for row in requirement.basis if row.method == method and row.bound in (bound, None)]
    if quantity is None:
        return None
    if not rows:
        return Limit(quantity, method or "the plan", "common practice, no published source")
    source = rows[0].source
    return Limit(quantity, source_words(source) or str(method), source.mark)


def source_words(source: Source) -> str:
    """A source in one line; empty where there is none."""
    title = ", ".join(part for part in (source.title, source.clause) if part)
    return f"{title} ({source.edition})" if title and source.edition else title
