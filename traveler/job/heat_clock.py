"""Until when the heat of a joint is good after it was read: the arc must start by then, or it is read again."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from fractions import Fraction

from traveler.job.decision_rule import blocks
from traveler.job.judge import judge, reading_verdict, standing_as_judged
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import INTERPASS, PREHEAT, JobState, Reading
from traveler.quantity.parse import stored
from traveler.quantity.quantity import Quantity

GOOD_FOR_AT_C = 25
"""What a requirement says a reading is good for is worked out for one so many degrees above the minimum."""
WHOLE_STEP_S = 5


@dataclass(frozen=True, slots=True)
class HeatClock:
    """The reading that the time runs from, when it was taken, and for how many seconds it is good.

    ``not_before``: no instant before it can be the present one, since the job was written to then.
    """

    reading: int
    taken: datetime
    seconds: int
    not_before: datetime

    @property
    def gives_no_time(self) -> bool:
        """Whether the reading was too near the minimum to leave any time."""
        return not self.seconds

    @property
    def until(self) -> datetime:
        """The instant by which the arc must start."""
        return self.taken + timedelta(seconds=self.seconds)

    def set_back(self, now: datetime) -> bool:
        """Whether ``now`` lies before what is already written: then nobody can say how much time there is."""
        return now < max(self.taken, self.not_before)

    def left_s(self, now: datetime) -> int:
        """Whole seconds left at ``now``, rounded down; none where they ran out or the clock was set back."""
        if self.set_back(now):
            return 0
        return max(int((self.until - now).total_seconds()), 0)


def seconds_good(value: Quantity, minimum: Quantity, good_for_s: int) -> int:
    """Seconds that a reading stays good, down to a multiple of 5, from ``good_for_s`` at 25 C° above the minimum.

    In proportion to its height above the minimum: metal cools ever more slowly as it nears the minimum, so a straight
    line from nothing at the minimum is the shorter answer. Higher readings are given no more.
    """
    above_c = value.canonical - minimum.canonical
    share = min(max(above_c / GOOD_FOR_AT_C, Fraction(0)), Fraction(1))
    return int(good_for_s * share) // WHOLE_STEP_S * WHOLE_STEP_S


def heat_clock(state: JobState, joint: str) -> HeatClock | None:
    """The clock of a joint before its first run; None where no time runs.

    It runs from the reading taken last: of the preheat once that complies, or of the metal before run 1. None as long
    as the last one lies outside, after the first run, and where the plan says that a reading stays good. What is dated
    later than the last entry was written (the clock was set back since) counts only where there is nothing else.
    """
    planned = _preheat(state, joint)
    if planned is None or state.runs_recorded(joint) or state.last_moment is None:
        return None
    step, requirement = planned
    if blocks(judge(state, step, requirement).verdict, state.decision_rule):
        return None
    taken = [(requirement, reading) for reading in _judged(state, step, requirement)]
    for at_weld, before_run in _before_the_first_run(state, joint):
        taken += [(before_run, reading) for reading in _judged(state, at_weld, before_run)]
    written = datetime.fromisoformat(state.last_moment.recorded_at)
    known = [pair for pair in taken if _when(pair[1]) <= written] or taken
    latest, reading = max(known, key=lambda pair: (_when(pair[1]), pair[1].number))
    good_for_s, minimum = requirement.evidence.good_for_s, latest.at_least
    if good_for_s is None or minimum is None:
        return None
    if blocks(reading_verdict(latest, reading), state.decision_rule):
        return None
    seconds = seconds_good(stored(reading.value, reading.unit or ""), minimum, good_for_s)
    return HeatClock(reading.number, _when(reading), seconds, written)


def _preheat(state: JobState, joint: str) -> tuple[StepPlan, Requirement] | None:
    return next(
        (
            (step, requirement)
            for step in state.plan.steps
            for requirement in step.requirements
            if (requirement.quantity, requirement.joint) == (PREHEAT, joint)
            and requirement.evidence.good_for_s
        ),
        None,
    )


def _before_the_first_run(state: JobState, joint: str) -> list[tuple[StepPlan, Requirement]]:
    return [
        (step, requirement)
        for step in state.plan.steps
        for requirement in step.requirements
        if (requirement.quantity, requirement.joint) == (INTERPASS, joint)
    ]


def _judged(state: JobState, step: StepPlan, requirement: Requirement) -> list[Reading]:
    """The standing readings that say how hot the metal was; a crayon that held says only how hot it was not."""
    return [
        reading
        for reading in standing_as_judged(state, step, requirement)
        if reading.bound != "at_most" and reading.unit is not None
    ]


def _when(reading: Reading) -> datetime:
    return datetime.fromisoformat(reading.moment.happened_at)
