"""Do the jobs of a shop say the same of the pieces that went from one to another?"""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from traveler.job.state import JobState
from traveler.record.chain import canonical, code, genesis, next_hash
from traveler.record.log import JOB_PREFIX

Act = Mapping[str, Any]


class Share(NamedTuple):
    """Pieces that one job has from another, or gave it: how many, and which."""

    job: str
    pieces: int
    serials: tuple[str, ...]


class PiecesSaid(NamedTuple):
    """What a job says of the pieces that went from it to others, or came from them: all that these must say, too.

    ``parts``: the jobs whose pieces are in it, without those that came along when it was split off.
    """

    number: str
    split_off: tuple[Share, ...]
    parent: Share | None
    used: tuple[Share, ...]
    components: tuple[Share, ...]
    parts: tuple[str, ...]


class Contradiction(NamedTuple):
    """A job that says of its pieces what ``other`` does not say, and a sentence about it."""

    number: str
    other: str
    sentence: str


def pieces_said(state: JobState) -> PiecesSaid | None:
    """What a job says of its pieces; None where it has to do with no other job."""
    batch = state.batch
    parent = batch.parent
    said = PiecesSaid(
        state.plan.number,
        tuple(Share(gone.job, gone.pieces, gone.serials) for gone in batch.gone if gone.job is not None),
        None if parent is None else Share(parent.job, parent.pieces, parent.serials),
        tuple(Share(use.job, use.pieces, use.serials) for use in batch.uses),
        tuple(Share(part.job, part.pieces, part.serials) for part in batch.components),
        tuple(part.job for part in batch.components if part.moment.seq > batch.before),
    )
    return said if any(said[1:]) else None


class History(NamedTuple):
    """The history that the first event of a job brings along: ``link`` is that of its last event, the ``event``-th of
    job ``number``; ``fault`` what is wrong with it in words, empty where nothing is.
    """

    number: str
    event: int
    link: bytes
    fault: str


def history_fault(act: Act, shop_id: str) -> str:
    """What is wrong with the history that the first event of a job brings along, in words; empty where nothing is.

    The events that it holds are hashed as they were in the job that they are of: they must give its code.
    """
    history = history_of(act, shop_id)
    return "" if history is None else history.fault


def history_of(act: Act, shop_id: str) -> History | None:
    """The history that the first event of a job brings along; None where it brings none."""
    split = act.get("split_from")
    if split is None:
        return None
    link, number, event = b"", "", 0
    try:
        number, event = split["job"], len(split["history"])
        link = genesis(shop_id, f"{JOB_PREFIX}{number}")
        for entry in split["history"]:
            link = next_hash(link, canonical(entry))
        fault = history_fault(split["history"][0]["act"], shop_id)
        if not fault and code(link) != split["code"]:
            fault = (
                f"event 1: the history of job {number} gives the code {code(link)}, it says {split['code']}"
            )
    except (AttributeError, IndexError, KeyError, TypeError, ValueError) as error:
        fault = f"event 1: the history that it brings along cannot be followed: {error}"
    return History(number, event, link, fault)


def contradictions(said: Mapping[str, PiecesSaid]) -> Iterator[Contradiction]:
    """Each place where what a job says of its pieces is not what the other one says; ``said`` by number of job."""
    for own in said.values():
        yield from _of_split(own, said)
        yield from _of_use(own, said)


def _of_split(own: PiecesSaid, said: Mapping[str, PiecesSaid]) -> Iterator[Contradiction]:
    number = own.number
    for gone in own.split_off:
        child = said.get(gone.job)
        origin = child.parent if child else None
        if origin is None or origin.job != number:
            told = f"job {number} says that pieces went to {gone.job}, which does not say that it has them"
            yield Contradiction(number, gone.job, told)
        elif origin[1:] != gone[1:]:
            told = f"job {number} says that {_pieces(gone.pieces)} went to {gone.job}, which says {origin.pieces}"
            yield Contradiction(number, gone.job, told)
    if own.parent is not None:
        parent = said.get(own.parent.job)
        if parent is None or all(gone.job != number for gone in parent.split_off):
            told = f"job {number} says that it was split off from {own.parent.job}, which does not say so"
            yield Contradiction(number, own.parent.job, told)


def _of_use(own: PiecesSaid, said: Mapping[str, PiecesSaid]) -> Iterator[Contradiction]:
    number = own.number
    for use in own.used:
        assembly = said.get(use.job)
        part = next((part for part in assembly.components if part.job == number), None) if assembly else None
        if part is None or part[1:] != use[1:]:
            told = f"job {number} says that {_pieces(use.pieces)} joined in {use.job}, which says otherwise"
            yield Contradiction(number, use.job, told)
    for job in own.parts:
        component = said.get(job)
        if component is None or all(use.job != number for use in component.used):
            told = f"job {number} says that pieces of {job} are in it, which does not say so"
            yield Contradiction(number, job, told)


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"
