"""Everybody that the events of a job name, and what they did."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from traveler.job.person import Moment, Person
from traveler.job.state import JobState, Reading


class Deed(NamedTuple):
    """What somebody did, in words that begin a sentence; ``decides``: it settles something and is not only an entry."""

    what: str
    by: Person
    moment: Moment
    decides: bool = True


def deeds(state: JobState) -> tuple[Deed, ...]:
    """Everything that was done to a job, kind by kind."""
    parts = (
        state.revisions,
        state.readings,
        state.retries,
        state.attachments,
        state.performed,
        state.accepted,
        state.closed,
        state.cancelled,
        state.points,
        state.nonconformances,
        state.answers,
        state.not_applicable,
        state.sendings,
        state.batch,
    )
    return state.workings.known("deeds", parts, lambda: tuple(_deeds(state, state.readings)))


def last_deed(state: JobState) -> Deed:
    """What was done to a job last."""
    latest = state.index.latest
    return max(_deeds(state, () if latest is None else (latest,)), key=lambda deed: deed.moment.seq)


def names_in(state: JobState) -> Iterator[str]:
    """The names of everybody who did something, some of them several times."""
    yield from (deed.by.name for deed in _deeds(state, ()))
    yield from state.index.names


def _deeds(state: JobState, readings: Iterable[Reading]) -> Iterator[Deed]:
    for revision in state.revisions:
        yield Deed(f"revision {revision.number} was issued", revision.by, revision.moment)
    for reading in readings:
        yield Deed(
            f"step {reading.key[0]}, reading {reading.number} was recorded", reading.by, reading.moment, False
        )
    for retry in state.retries:
        yield Deed(f"step {retry.key[0]}: {retry.key[1]} was tried again", retry.by, retry.moment, False)
    for file in state.attachments:
        yield Deed(f"step {file.step}: {file.name} was attached", file.by, file.moment, False)
    for signature in state.performed:
        yield Deed(f"step {signature.step} was signed as performed", signature.by, signature.moment)
    for signature in state.accepted:
        yield Deed(f"step {signature.step} was accepted", signature.by, signature.moment)
    yield from _decided(state)
    yield from _of_pieces(state)
    for word, ending in (("closed", state.closed), ("cancelled", state.cancelled)):
        if ending is not None:
            yield Deed(f"the job was {word}", ending.by, ending.moment)


def _decided(state: JobState) -> Iterator[Deed]:
    for point in state.points:
        yield Deed(
            f"step {point.step}: point {point.point} ({point.party}) was {point.kind}", point.by, point.moment
        )
    yield from _outside(state)
    for entry in state.nonconformances:
        named = f"nonconformance {entry.number}"
        yield Deed(f"{named} was opened", entry.by, entry.moment, False)
        for proposal in entry.proposals:
            yield Deed(f"{named}: {proposal.disposition} was proposed", proposal.by, proposal.moment, False)
            if proposal.decision is not None:
                word = "approved" if proposal.decision.approved else "refused"
                yield Deed(
                    f"{named}: {proposal.disposition} was {word}",
                    proposal.decision.by,
                    proposal.decision.moment,
                )
        for again in entry.reverifications:
            yield Deed(f"{named} was re-verified", again.by, again.moment)
        if entry.end is not None:
            yield Deed(f"{named} was {entry.status}", entry.end.by, entry.end.moment)
    for answer in state.answers:
        readings = ", ".join(map(str, answer.readings))
        yield Deed(f"the question about reading {readings} was answered", answer.by, answer.moment)
    for said in state.not_applicable:
        yield Deed(f"step {said.step}: {said.quantity} was said not to apply", said.by, said.moment)


def _outside(state: JobState) -> Iterator[Deed]:
    for sending in state.sendings:
        of = f"step {sending.step}"
        yield Deed(f"{of} was sent to {sending.vendor}", sending.by, sending.moment, False)
        for receipt in sending.receipts:
            yield Deed(f"{of} was received from {sending.vendor}", receipt.by, receipt.moment)
        for review in sending.reviews:
            word = "accepted" if review.accepted else "not accepted"
            what = f"{of}: the certificate of {sending.vendor} was {word}"
            yield Deed(what, review.by, review.moment)
        if sending.called_off is not None:
            what = f"{of}: the sending to {sending.vendor} was called off"
            yield Deed(what, sending.called_off.by, sending.called_off.moment)


def _of_pieces(state: JobState) -> Iterator[Deed]:
    for gone in state.batch.gone:
        into = f" into {gone.job}" if gone.job else ""
        yield Deed(f"pieces ({gone.pieces}) were {gone.way}{into}", gone.by, gone.moment)
    for use in state.batch.uses:
        yield Deed(f"pieces ({use.pieces}) were joined in {use.job}", use.by, use.moment, False)
    for part in state.batch.components:
        yield Deed(f"step {part.step}: {part.job} was joined", part.by, part.moment, False)


def registered(state: JobState) -> bool:
    """Whether anybody in the job is known by an id."""
    return any(deed.by.id is not None for deed in deeds(state))
