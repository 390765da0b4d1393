"""The dimensions of a part as they were measured at the last inspection that was accepted."""

from collections.abc import Mapping
from dataclasses import dataclass

from traveler.job.acceptance import acceptance_stands
from traveler.job.judge import outside, standing_as_judged
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import JobState, Reading

INSPECT = "inspect"
DIMENSION = "dimension "


@dataclass(frozen=True, slots=True)
class AsBuilt:
    """A dimension as measured: ``typed`` as it was written down, with its unit; ``outside`` its tolerance or not.

    ``title``: what is measured, as the sheet says it.
    """

    id: str
    value: str
    unit: str
    step: int
    outside: bool
    title: str = ""

    @property
    def typed(self) -> str:
        """As the reader of a sheet takes it: "112.2 mm"."""
        return f"{self.value} {self.unit}"


def as_built(state: JobState) -> Mapping[str, AsBuilt]:
    """By the id of the dimension, the last reading that stands at the last inspection whose acceptance stands.

    A reading that shows nothing (its instrument was found out of tolerance) is left out.
    """
    found: dict[str, AsBuilt] = {}
    for step in state.plan.steps:
        if step.kind != INSPECT or not acceptance_stands(state, step):
            continue
        for requirement in step.requirements:
            measured = _last(state, step, requirement)
            if measured is not None and measured.unit is not None:
                id_ = requirement.quantity.removeprefix(DIMENSION)
                beyond = bool(outside(requirement, measured))
                title = next((basis.method for basis in requirement.basis), "")
                found[id_] = AsBuilt(id_, measured.value, measured.unit, step.number, beyond, title)
    return found


def _last(state: JobState, step: StepPlan, requirement: Requirement) -> Reading | None:
    if not requirement.quantity.startswith(DIMENSION):
        return None
    judged = standing_as_judged(state, step, requirement)
    return next((reading for reading in reversed(judged) if reading.shows), None)
