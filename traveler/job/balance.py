"""Do the pieces of a job add up, and how does it stand for the jobs that depend on it?"""

from collections.abc import Iterable
from dataclasses import dataclass

from traveler.job.acceptance import ENDED_WORDS, ended_by
from traveler.job.inherited import came_along, decided_by_parent
from traveler.job.pieces import OPEN, REJECTED, Component, Standing
from traveler.job.questions import waits_for_answer
from traveler.job.state import JobState


@dataclass(frozen=True, slots=True)
class Balance:
    """Pieces: in = here + rejected + lost + split off. ``here``: in process, and once the job is closed accepted."""

    came: int
    here: int
    rejected: int
    lost: int
    split_off: int
    closed: bool

    @property
    def words(self) -> str:
        """ "5 in = 2 in process + 1 rejected + 0 lost + 2 split off"."""
        stand = "accepted" if self.closed else "in process"
        return (
            f"{self.came} in = {self.here} {stand} + {self.rejected} rejected + {self.lost} lost + "
            f"{self.split_off} split off"
        )


def balance(state: JobState) -> Balance:
    """Where the pieces of a job are, by what its events say."""
    batch, came = state.batch, state.plan.quantity
    rejected, lost, split_off = batch.left(*REJECTED), batch.left("lost"), batch.left("split off")
    return Balance(
        came, came - rejected - lost - split_off, rejected, lost, split_off, state.closed is not None
    )


def serials_here(state: JobState) -> tuple[str, ...]:
    """The serials of the pieces that are still in the job."""
    gone = {serial for left in state.batch.gone for serial in left.serials}
    return tuple(serial for serial in state.plan.serials if serial not in gone)


def free_serials(state: JobState) -> tuple[str, ...]:
    """Those of them that are in no assembly."""
    used = {serial for use in state.batch.uses for serial in use.serials}
    return tuple(serial for serial in serials_here(state) if serial not in used)


def is_batch(state: JobState) -> bool:
    """Whether there is anything to say of pieces: several, or named, or gone, or from or in other jobs."""
    plan, batch = state.plan, state.batch
    several = plan.quantity != 1 or bool(plan.serials)
    return several or bool(batch.gone or batch.uses or batch.components or batch.came_from)


def ending(state: JobState) -> str:
    """How the job ended; "open" where it has not."""
    if state.closed:
        return "closed"
    if state.cancelled:
        return "cancelled"
    end = ended_by(state)
    return ENDED_WORDS[str(end.disposition)] if end else OPEN


def standing(state: JobState) -> Standing:
    """How the job stands for those that were split off from it and those that its pieces are in."""
    return Standing(ending(state), holds(state), balance(state).here, state.batch.used)


def holds(state: JobState) -> tuple[str, ...]:
    """What of this job, and of those that it comes from and is made of, holds the jobs that depend on it, in words."""
    origin = state.batch.parent
    of_parent = origin.nonconformances if origin else 0
    decides_alone = not decided_by_parent(state)
    own = [
        f"nonconformance {entry.number} of {state.plan.number} is open: {entry.what}"
        for entry in state.nonconformances
        if entry.is_open and (entry.number > of_parent or decides_alone)
    ]
    waiting = [
        str(reading.number)
        for reading in (state.readings if state.questions else ())
        if (decides_alone or not came_along(state, reading)) and waits_for_answer(state, reading.number)
    ]
    if waiting:
        own.append(
            f"reading{'s' if len(waiting) > 1 else ''} {', '.join(waiting)} of {state.plan.number} "
            f"{'are' if len(waiting) > 1 else 'is'} in question"
        )
    return tuple(dict.fromkeys((*held_by(state), *own)))


def held_by(state: JobState) -> tuple[str, ...]:
    """What holds the job from elsewhere: the job that it was split off from, and its components."""
    return _told(state, state.batch.components)


def held_at(state: JobState, step: int) -> tuple[str, ...]:
    """What of that holds a step: a component holds the step at which it is joined and those behind it."""
    return _told(state, [part for part in state.batch.components if part.step <= step])


def _told(state: JobState, components: Iterable[Component]) -> tuple[str, ...]:
    origin = state.batch.parent
    told = [*(origin.standing.holds if origin else ())]
    for component in components:
        told += component.standing.holds
    return tuple(dict.fromkeys(told))
