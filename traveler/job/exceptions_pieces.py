"""What a reader must know of pieces: where they came from, which did not make it, what holds them."""

from collections.abc import Iterator
from itertools import pairwise

from traveler.job.balance import held_by
from traveler.job.gate_pieces import component_faults
from traveler.job.pieces import OPEN
from traveler.job.state import JobState


def piece_exceptions(state: JobState) -> Iterator[str]:
    """Sentences, in the order in which a strict reader would ask."""
    for origin in state.batch.came_from:
        yield (
            f"{_pieces(origin.pieces)} split off from job {origin.job} at its event {origin.events} (code "
            f"{origin.code}): {origin.because}; what is older was done there"
        )
        if origin.standing.ending not in (OPEN, "closed"):
            yield f"job {origin.job} is {origin.standing.ending} since"
    yield from _called_otherwise(state)
    for gone in state.batch.gone:
        if gone.way != "split off":
            by = f" (nonconformance {gone.nonconformance})" if gone.nonconformance else ""
            named = f" ({', '.join(gone.serials)})" if gone.serials else ""
            yield f"{_pieces(gone.pieces)}{named} {gone.way}{by}: {gone.because}"
    for what in held_by(state):
        yield f"held: {what}"
    for component in state.batch.components:
        yield from component_faults(component)


def _called_otherwise(state: JobState) -> Iterator[str]:
    """Serials that a revision replaced when something was signed already: of the same pieces, or of others."""
    for before, after in pairwise(state.revisions):
        signed = any(signature.moment.seq < after.moment.seq for signature in state.performed)
        was, now = before.plan.serials, after.plan.serials
        gone = [serial for serial in was if serial not in now]
        new = [serial for serial in now if serial not in was]
        if signed and gone and new:
            yield f"revision {after.number} has the serials {', '.join(new)} where {', '.join(gone)} stood"


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"
