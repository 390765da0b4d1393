"""What a verdict follows from, so that whatever is found of a requirement's readings is kept while that is the same."""

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from traveler.job.quantities import ARC_ENERGY
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import JobState

Found = TypeVar("Found")
OfRequirement = Callable[[JobState, StepPlan, Requirement], Found]


def judged_by(state: JobState, joint: str | None) -> tuple[object, ...]:
    """All that a verdict may follow from beside the plan and the readings of the requirement itself.

    Of the readings of others only those that say when a run of weld was laid; where some were put in question, all,
    since a correction is in question as what it corrects was.
    """
    return (
        state.index.of_quantity(ARC_ENERGY, joint or ""),
        state.readings if state.questions else None,
        state.revisions,
        state.retries,
        state.performed,
        state.charts,
        state.nonconformances,
        state.questions,
        state.answers,
        state.not_applicable,
        state.sendings,
        state.batch,
    )


def kept_as_judged(work_out: OfRequirement[Found]) -> OfRequirement[Found]:
    """``work_out``, which follows from nothing but its step and requirement, their readings and ``judged_by``.

    The gate, the view and the list of exceptions all ask how a requirement stands; it is worked out for the first of
    them, and again when there is something new. An answer is never to be changed.
    """

    @wraps(work_out)
    def kept(state: JobState, step: StepPlan, requirement: Requirement) -> Found:
        key = (step.number, requirement.quantity, requirement.joint)
        parts = (*judged_by(state, requirement.joint), step, requirement, state.index.of_requirement(key))
        return state.workings.known((work_out, *key), parts, lambda: work_out(state, step, requirement))

    return kept
