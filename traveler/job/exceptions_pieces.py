"""What a reader must know of pieces: where they came from, which did not make it, what holds them."""

from collections.abc import Iterator

from traveler.job.balance import held_by
from traveler.job.gate_pieces import component_faults
from traveler.job.state import JobState


def piece_exceptions(state: JobState) -> Iterator[str]:
    """Sentences, in the order in which a strict reader would ask."""
    for origin in state.batch.came_from:
        yield (
            f"{_pieces(origin.pieces)} split off from job {origin.job} at its event {origin.events} (code "
            f"{origin.code}): {origin.because}; what is older was done there"
        )
    for gone in state.batch.gone:
        if gone.way != "split off":
            by = f" (nonconformance {gone.nonconformance})" if gone.nonconformance else ""
            named = f" ({', '.join(gone.serials)})" if gone.serials else ""
            yield f"{_pieces(gone.pieces)}{named} {gone.way}{by}: {gone.because}"
    for what in held_by(state):
        yield f"held: {what}"
    for component in state.batch.components:
        yield from component_faults(component)


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"
