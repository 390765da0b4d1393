"""May pieces leave a job, be split off, be used in an assembly; and what of pieces stands against a signature?"""

from collections.abc import Iterator, Sequence

from traveler.job.balance import balance, free_serials, held_at, held_by, serials_here
from traveler.job.gate_acts import JoinComponent, SplitOff, TakeOutComponent, TakeOutPieces, UsePieces
from traveler.job.outside import still_there, unsent
from traveler.job.pieces import OPEN, Component
from traveler.job.requirement import StepPlan
from traveler.job.state import JobState


def against_pieces(act: TakeOutPieces | SplitOff | UsePieces, state: JobState) -> Sequence[str]:
    """More cannot leave than there are; what is in an assembly is not split off or used again.

    A piece in an assembly that is found bad, or lost, may be said so: the assembly then waits.
    """
    here, used = balance(state).here, state.batch.used
    free = here if isinstance(act, TakeOutPieces) else here - used
    serials = serials_here(state) if isinstance(act, TakeOutPieces) else free_serials(state)
    reasons = []
    if act.pieces > free:
        reasons.append(f"{_are(free)} there to take: {_where(state)}")
    elif isinstance(act, SplitOff) and act.pieces == here:
        every = "the only piece" if here == 1 else f"all {here} pieces"
        reasons.append(f"{every} would leave: at least one stays with job {state.plan.number}")
    if isinstance(act, SplitOff):
        reasons += _at_vendors(state)
    return [*reasons, *_against_serials(act.pieces, act.serials, serials, bool(state.plan.serials))]


def _at_vendors(state: JobState) -> Iterator[str]:
    """What one sending counts, two jobs could not both count: neither what is to come back, nor what went at all."""
    for step in state.plan.steps:
        if there := still_there(state, step):
            yield f"step {step.number} is {there}: receive it first, or call the sending off"
        elif few := unsent(state, step):
            yield f"step {step.number}: {few}, and nobody could tell which: send the others first"


def _against_serials(
    pieces: int, named: Sequence[str], known: Sequence[str], has_serials: bool
) -> Iterator[str]:
    strangers = [serial for serial in named if serial not in known]
    if not has_serials and named:
        yield "the pieces of this job have no serials; name none"
    elif strangers:
        yield f"there is no piece {', '.join(strangers)} to take; there are: {', '.join(known) or 'none'}"
    elif len(set(named)) != len(named):
        yield "a serial is named twice"
    elif has_serials and len(named) != pieces:
        yield f"{len(named)} of {pieces} serials named; name each piece, of: {', '.join(known)}"


def against_joining(act: JoinComponent, state: JobState) -> Sequence[str]:
    """A component is joined at a step of the traveler, once."""
    if state.batch.component(act.job) is not None:
        return [f"{act.job} is a component already; take it out first to change how many"]
    if act.job == state.plan.number:
        return ["a job is no component of itself"]
    if any(origin.job == act.job for origin in state.batch.came_from):
        return [f"this job was split off from {act.job}"]
    return [] if state.step(act.step) is not None else [f"there is no step {act.step}"]


def against_taking_out(act: TakeOutComponent, state: JobState) -> Sequence[str]:
    """Once pieces were split off with what is in them, it stays."""
    component = state.batch.component(act.job)
    if component is None:
        return [f"{act.job} is no component of this job"]
    if component.moment.seq <= state.batch.before:
        return [f"component {act.job} came along from another job"]
    later = [gone for gone in state.batch.gone if gone.job and gone.moment.seq > component.moment.seq]
    return [f"component {act.job} went along into {later[0].job}"] if later else []


def held(state: JobState, step: StepPlan) -> Iterator[str]:
    """What holds a step from outside of it: pieces that are gone, other jobs, components that are not ready."""
    if balance(state).here < 1:
        yield f"no piece is left: {balance(state).words}"
    for what in held_at(state, step.number):
        yield f"held: {what}"
    for component in state.batch.components:
        if component.step <= step.number:
            yield from component_faults(component)


def component_faults(component: Component) -> Iterator[str]:
    """Why a component is not ready to be in an accepted assembly; what holds it is told for itself."""
    stands = component.standing
    if stands.ending == OPEN:
        yield f"component {component.job} is not closed: close it, or take it out"
    elif stands.ending != "closed":
        yield f"component {component.job} is {stands.ending}: take it out of the assembly"
    if stands.used > stands.good:
        yield (
            f"{stands.used} pieces of component {component.job} are in assemblies, and it has {stands.good} good "
            f"one{'' if stands.good == 1 else 's'}"
        )


def against_closing_pieces(state: JobState, counted: int | None) -> Iterator[str]:
    """What of pieces stands against closing; ``counted``: how many good ones the closer has counted."""
    found = balance(state)
    if found.here < 1:
        yield f"no piece is left: {found.words}; cancel the job"
    elif counted is not None and counted != found.here:
        missing = found.here - counted
        gone = f"{_are(missing)} not accounted for" if missing > 0 else f"{_are(-missing)} too many"
        yield (
            f"{found.came} in, {counted} counted as accepted, {found.rejected} rejected, {found.lost} lost, "
            f"{found.split_off} split off: {gone}"
        )
    for what in held_by(state):
        yield f"held: {what}"
    for component in state.batch.components:
        yield from component_faults(component)


def against_leaving_held(state: JobState, besides: int | None = None) -> Iterator[str]:
    """A nonconformance that nobody could close any more would hold the jobs that depend on this one for ever."""
    dependants = (*state.batch.children, *state.batch.assemblies)
    for entry in state.nonconformances:
        if entry.is_open and entry.number != besides and dependants:
            yield f"nonconformance {entry.number} holds {', '.join(dependants)}: close it first"


def against_other_pieces(state: JobState, quantity: int, serials: Sequence[str]) -> Iterator[str]:
    """Why a revision cannot have so many pieces, or these serials: those that left were pieces of this job, and what is
    signed was done on those that it had then."""
    found = balance(state)
    if state.performed and quantity > found.came:
        signed = f"{found.came} piece{'' if found.came == 1 else 's'}"
        yield f"step {state.performed[0].step} is signed for {signed}: others are a job of their own"
    left = found.came - found.here
    if quantity < left + (1 if found.here else 0) or quantity < left + state.batch.used:
        yield f"the new sheet has {quantity} pieces, and {left} left the job: {found.words}"
    known = {serial for gone in state.batch.gone for serial in gone.serials}
    known |= {serial for use in state.batch.uses for serial in use.serials}
    missing = sorted(known - set(serials)) if state.plan.serials else []
    if missing:
        yield f"the new sheet lacks the serials {', '.join(missing)}, of pieces that left the job or are in assemblies"


def _are(pieces: int) -> str:
    return "1 piece is" if pieces == 1 else f"{pieces} pieces are"


def _where(state: JobState) -> str:
    used = state.batch.used
    return balance(state).words + (f"; {_are(used)} in assemblies" if used else "")
