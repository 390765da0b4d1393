"""Do the jobs of a shop say the same of the pieces that went from one to another?"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import islice
from typing import Any

from traveler.job.state import JobState
from traveler.record.chain import canonical, code, genesis, next_hash
from traveler.record.log import JOB_PREFIX

Act = Mapping[str, Any]


def history_fault(act: Act, shop_id: str) -> str:
    """What is wrong with the history that the first event of a job brings along, in words; empty where nothing is.

    The events that it holds are hashed as they were in the job that they are of: they must give its code.
    """
    split = act.get("split_from")
    if split is None:
        return ""
    try:
        link = genesis(shop_id, f"{JOB_PREFIX}{split['job']}")
        for event in split["history"]:
            link = next_hash(link, canonical(event))
        earlier = history_fault(split["history"][0]["act"], shop_id)
    except (AttributeError, IndexError, KeyError, TypeError, ValueError) as error:
        return f"event 1: the history that it brings along cannot be followed: {error}"
    if earlier:
        return earlier
    if code(link) != split["code"]:
        return (
            f"event 1: the history of job {split['job']} gives the code {code(link)}, it says {split['code']}"
        )
    return ""


def pieces_faults(
    jobs: Mapping[str, JobState], firsts: Mapping[str, Act], events_of: Callable[[str], Iterable[Act]]
) -> Iterator[str]:
    """Each place where what a job says of its pieces is not what the other one says.

    ``jobs``, and the first events of those that were split off, by stream; ``events_of`` reads a stream.
    """
    for stream, event in firsts.items():
        fault, split = history_fault(event["act"], str(event["act"].get("shop"))), event["act"]["split_from"]
        if fault:
            yield f"{stream}, {fault}"
        elif (
            list(islice(events_of(f"{JOB_PREFIX}{split['job']}"), len(split["history"]))) != split["history"]
        ):
            yield f"{stream}, event 1: the history that it brings along is not that of job {split['job']}"
    states = {state.plan.number: state for state in jobs.values()}
    for number, state in states.items():
        yield from _split_faults(number, state, states)
        yield from _use_faults(number, state, states)


def _split_faults(number: str, state: JobState, states: Mapping[str, JobState]) -> Iterator[str]:
    for gone in state.batch.gone:
        if gone.job is None:
            continue
        child = states.get(gone.job)
        origin = child.batch.parent if child else None
        if origin is None or origin.job != number:
            yield f"job {number} says that pieces went to {gone.job}, which does not say that it has them"
        elif (origin.pieces, origin.serials) != (gone.pieces, gone.serials):
            yield f"job {number} says that {_pieces(gone.pieces)} went to {gone.job}, which says {origin.pieces}"
    origin = state.batch.parent
    if origin is not None:
        parent = states.get(origin.job)
        if parent is None or number not in parent.batch.children:
            yield f"job {number} says that it was split off from {origin.job}, which does not say so"


def _use_faults(number: str, state: JobState, states: Mapping[str, JobState]) -> Iterator[str]:
    for use in state.batch.uses:
        assembly = states.get(use.job)
        part = assembly.batch.component(number) if assembly else None
        if part is None or (part.pieces, part.serials) != (use.pieces, use.serials):
            yield f"job {number} says that {_pieces(use.pieces)} joined in {use.job}, which says otherwise"
    for part in state.batch.components:
        if part.moment.seq <= state.batch.before:
            continue  # it came along: the job that it was joined in says so
        component = states.get(part.job)
        if component is None or number not in component.batch.assemblies:
            yield f"job {number} says that pieces of {part.job} are in it, which does not say so"


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"
