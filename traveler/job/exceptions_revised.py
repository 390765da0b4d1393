"""What a reader must know first of limits that a revision changed after readings were taken against them."""

from collections.abc import Iterator
from itertools import pairwise

from traveler.job.judge_reading import outside
from traveler.job.requirement import Plan, Requirement, StepPlan
from traveler.job.state import JobState, Revision


def revised_exceptions(state: JobState) -> Iterator[str]:
    """Readings that were outside their limit when they were taken, and are inside by a later revision."""
    for taken_under, next_one in pairwise(state.revisions):
        for step in state.plan.steps:
            for requirement in step.requirements:
                then = _then(taken_under.plan, step, requirement)
                if then is not None and then != requirement:
                    yield from _let_in(state, step, (then, requirement), taken_under, next_one)


def _then(plan: Plan, step: StepPlan, requirement: Requirement) -> Requirement | None:
    wanted = (requirement.quantity, requirement.joint)
    of_step = (old.requirements for old in plan.steps if old.number == step.number)
    return next((old for asked in of_step for old in asked if (old.quantity, old.joint) == wanted), None)


def _let_in(
    state: JobState,
    step: StepPlan,
    asked: tuple[Requirement, Requirement],
    taken_under: Revision,
    next_one: Revision,
) -> Iterator[str]:
    then, now = asked
    for reading in state.standing(step, now):
        taken = taken_under.moment.seq < reading.moment.seq < next_one.moment.seq
        if not taken or reading.chart is not None or outside(now, reading):
            continue
        if was := outside(then, reading):
            yield (
                f"step {step.number}, reading {reading.number} was outside the limit of revision {taken_under.number} "
                f"({was}) and is inside that of revision {state.revision}"
            )
