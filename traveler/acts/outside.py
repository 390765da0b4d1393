"""Work that a vendor does: sent, received, its certificate reviewed, a sending called off."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from traveler.acts.change import Changed, Outcome
from traveler.acts.clock import when
from traveler.acts.entry import Entry, Refusal
from traveler.acts.instrument_typed import day_typed
from traveler.acts.performers import Inspection
from traveler.acts.readings import find_step
from traveler.acts.register import zone_of
from traveler.acts.signed_change import Decide, Signing
from traveler.acts.typed import needed, printable, reason_given
from traveler.errors import BadInput
from traveler.job.balance import balance, is_batch
from traveler.job.fold_outside import CALLED_OFF, RECEIVED, REVIEWED, SENT
from traveler.job.gate import ActOutside, may
from traveler.job.outside import last_sending, receipt_faults, to_be_reviewed, wrong_count
from traveler.job.person import MAY_ACCEPT, Person
from traveler.job.requirement import StepPlan
from traveler.job.sending import HEAT_NUMBER_WORDS, Receipt, Sending
from traveler.job.state import Attachment, JobState
from traveler.library.load import load_library
from traveler.quantity.parse import echo

MOST_PIECES = 9999
SHORTEST_DIGITS = 8
"""Of a SHA-256 that names a file."""
SENT_MEANING = "this was sent to the vendor as it is said here"
RECEIVED_MEANING = "this came back as I found it and say here"
REVIEWED_MEANING = "I held these papers against what was asked for, with this result"
CALLED_OFF_MEANING = "this did not go to the vendor, or came back undone"


@dataclass(frozen=True, slots=True)
class NewSending:
    """What is typed of a sending. Left out: the vendor, order and papers of the sheet, the part, all of one piece.

    ``requirement``: the document with its revision that goes along. ``returns``: papers that are asked for beside those
    of the sheet. ``expected``: the day on which it is to be back.
    """

    vendor: str | None = None
    order: str | None = None
    what: str | None = None
    pieces: int | None = None
    requirement: str | None = None
    returns: tuple[str, ...] | None = None
    expected: str | None = None
    at: str | None = None


@dataclass(frozen=True, slots=True)
class NewReceipt:
    """What is typed when a part is back; ``pieces`` left out: all that are still out."""

    condition: str
    heat_number: str
    pieces: int | None = None
    damage: str | None = None
    at: str | None = None


@dataclass(frozen=True, slots=True)
class NewReview:
    """What is typed of a certificate that was looked at.

    ``files``: names, or the first digits of their SHA-256; left out, all that were attached to the step since it was
    sent. ``missing``: papers that were asked for and did not come.
    """

    accepts: bool
    held_against: str
    files: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    because: str | None = None


def send(signing: Signing, step: int, new: NewSending) -> Outcome:
    """Note that the work of a step went to a vendor, planned or not. Raises BadInput where nobody says to which."""

    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        found = find_step(state, step)
        allowed = may(ActOutside(step, "send"), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        return Entry(SENT, _sent(state, found, new), time_at_vendor(new.at, now, zone_of(signing.shop)))

    changed = _change(signing, step, "sent to a vendor", decide)
    if changed.refused:
        return Outcome(False, False, f"step {step} is not sent", changed.after, changed.refused)
    sending = changed.after.sendings[-1]
    papers = f"; it asks for {', '.join(sending.returns)}" if sending.returns else ""
    message = f"step {step}: {_pieces(sending.pieces)} sent to {sending.vendor}{papers}"
    return Outcome(True, True, message, changed.after)


def _sent(state: JobState, step: StepPlan, new: NewSending) -> dict[str, Any]:
    planned = step.outside
    vendor = printable(new.vendor, "vendor") or (planned.vendor if planned else None)
    if vendor is None:
        raise BadInput(f"the sheet names no vendor for step {step.number}; say who does its work")
    # What the sheet agrees with one vendor is not agreed with another.
    agreed = planned if planned is not None and planned.vendor == vendor else None
    expected = printable(new.expected, "expected")
    return {
        "sending": len(state.sendings_of(step.number)) + 1,
        "step": step.number,
        "meaning": SENT_MEANING,
        "vendor": vendor,
        "order": printable(new.order, "order") or (agreed.order if agreed else None),
        "what": printable(new.what, "what is sent") or state.plan.part or state.plan.title,
        "pieces": _sent_pieces(new.pieces, state),
        "requirement": printable(new.requirement, "requirement"),
        "revision": state.revision,
        "returns": list(_returns(step, new)),
        "expected": None if expected is None else day_typed(expected, "it is expected on").isoformat(),
    }


def _sent_pieces(typed: int | None, state: JobState) -> int:
    """A job that was not counted in pieces may be of several."""
    here = balance(state).here
    if typed is None:
        return max(1, here)
    pieces = _counted(typed)
    if is_batch(state) and pieces > here:
        raise BadInput(f"{pieces} pieces are not there to be sent; the job has {here}")
    return pieces


def time_at_vendor(typed: str | None, now: datetime, zone: str | None) -> datetime:
    """When it went or came back. Raises BadInput for what is no time, or still to come."""
    at = when(typed, now, zone)
    if at > now:
        raise BadInput(f'"{echo(typed or "")}" is still to come; note it when it has happened')
    return at


def _returns(step: StepPlan, new: NewSending) -> tuple[str, ...]:
    """What the sheet asks of a vendor is asked whoever sends; more may be."""
    of_sheet = () if step.outside is None else step.outside.returns
    if new.returns is not None:
        typed = (needed(paper, "a paper", "one that is to come back") for paper in new.returns)
        return _each_once((*of_sheet, *typed))
    return load_library().usual_papers(step.kind) if step.outside is None else of_sheet


def receive(signing: Signing, step: int, new: NewReceipt) -> Outcome:
    """Note that it is back, as it was found. What is short, damaged or without its heat number is recorded too."""
    condition = needed(new.condition, "the condition", "how it was found when it came back")
    heat_number = next((word for word in HEAT_NUMBER_WORDS if word == new.heat_number), None)
    if heat_number is None:
        raise BadInput(
            f'the heat number is "{echo(new.heat_number)}"; expected one of: {", ".join(HEAT_NUMBER_WORDS)}'
        )
    damage = printable(new.damage, "damage")

    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        find_step(state, step)
        allowed = may(ActOutside(step, "receive"), state, person, now)
        sending = last_sending(state, step)
        if not allowed.granted or sending is None:
            return Refusal(allowed.reasons)
        pieces = sending.pieces - sending.returned if new.pieces is None else _counted(new.pieces)
        act = {
            "step": step,
            "sending": sending.number,
            "meaning": RECEIVED_MEANING,
            "pieces": pieces,
            "condition": condition,
            "damage": damage,
            "heat_number": heat_number,
        }
        return Entry(RECEIVED, act, time_at_vendor(new.at, now, zone_of(signing.shop)))

    changed = _change(signing, step, "received from a vendor", decide)
    if changed.refused:
        return Outcome(False, False, f"step {step} is not received", changed.after, changed.refused)
    return _told_received(changed.after, step)


def _told_received(state: JobState, step: int) -> Outcome:
    sending, receipt = _latest_receipt(state, step)
    faults = tuple(filter(None, (wrong_count(sending), *receipt_faults(sending, receipt))))
    message = f"step {step}: {_pieces(receipt.pieces)} received from {sending.vendor}"
    papers = f"papers to come with it: {', '.join(sending.returns)}" if sending.returns else ""
    return Outcome(True, not faults, message, state, faults or tuple(filter(None, (papers,))))


def _latest_receipt(state: JobState, step: int) -> tuple[Sending, Receipt]:
    return max(
        ((sending, receipt) for sending in state.sendings_of(step) for receipt in sending.receipts),
        key=lambda found: found[1].moment.seq,
    )


def review(signing: Signing, step: int, new: NewReview) -> Outcome:
    """Say what came of looking at the papers of a vendor; by another person than who received the work or did it.

    Accepted are only papers that are attached to the step, none of those asked for missing. Not accepted takes a
    reason.
    """
    held_against = needed(new.held_against, "what was held against what", "that in words")
    because = printable(new.because, "reason") if new.accepts else reason_given(new.because or "")

    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        found = find_step(state, step)
        sending = to_be_reviewed(state, found)
        files = [] if sending is None else reviewed_files(state, sending, new.files)
        missing = () if sending is None else _missing(sending, new.missing)
        act = ActOutside(step, "review", new.accepts, tuple(file.sha256 for file in files), missing)
        allowed = may(act, state, person, now)
        if not allowed.granted or sending is None:
            return Refusal(allowed.reasons)
        return Entry(
            REVIEWED,
            {
                "step": step,
                "sending": sending.number,
                "meaning": REVIEWED_MEANING,
                "result": "accepted" if new.accepts else "not accepted",
                "files": [{"name": file.name, "sha256": file.sha256} for file in files],
                "held_against": held_against,
                "missing": list(missing),
                "because": because,
            },
        )

    asked = Inspection((step,), MAY_ACCEPT, "review this certificate")
    changed = signing.change("certificate reviewed", lambda _: step, decide, lambda _: asked)
    if changed.refused:
        return Outcome(
            False, False, f"step {step}: no certificate is reviewed", changed.after, changed.refused
        )
    word = "accepted" if new.accepts else "not accepted"
    reviewed = max(
        (sending for sending in changed.after.sendings_of(step) if sending.reviews),
        key=lambda sending: sending.reviews[-1].moment.seq,
    )
    message = f"step {step}: the certificate of {reviewed.vendor} is {word}"
    return Outcome(True, new.accepts, message, changed.after, (because,) if because else ())


def call_off(signing: Signing, step: int, because: str) -> Outcome:
    """Say that the last sending did not happen or came back undone, before its papers are reviewed."""
    reason = reason_given(because)

    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        find_step(state, step)
        allowed = may(ActOutside(step, "call off"), state, person, now)
        sending = last_sending(state, step)
        if not allowed.granted or sending is None:
            return Refusal(allowed.reasons)
        act = {"step": step, "sending": sending.number, "meaning": CALLED_OFF_MEANING, "because": reason}
        return Entry(CALLED_OFF, act)

    changed = _change(signing, step, "sending called off", decide)
    if changed.refused:
        return Outcome(False, False, f"step {step}: nothing is called off", changed.after, changed.refused)
    return Outcome(True, True, f"step {step}: the sending is called off: {reason}", changed.after)


def files_since(state: JobState, sending: Sending) -> list[Attachment]:
    """The files that were attached to the step since it was sent, until it was sent again; each content once."""
    later = [
        other.moment.seq for other in state.sendings_of(sending.step) if other.number == sending.number + 1
    ]
    until = min(later, default=state.events + 1)
    found = {
        file.sha256: file
        for file in state.attachments
        if file.step == sending.step and sending.moment.seq < file.moment.seq < until
    }
    return list(found.values())


def reviewed_files(state: JobState, sending: Sending, named: Sequence[str]) -> list[Attachment]:
    """The files that are meant by names or digits; all of them where none is named. Raises BadInput for others."""
    offered = files_since(state, sending)
    if not named:
        return offered
    files = [_file(offered, text, sending.step) for text in named]
    return list({file.sha256: file for file in files}.values())


def _file(offered: Sequence[Attachment], text: str, step: int) -> Attachment:
    wanted = text.strip()
    digits = wanted.casefold() if len(wanted) >= SHORTEST_DIGITS else None
    meant = [file for file in offered if file.name == wanted or (digits and file.sha256.startswith(digits))]
    if len(meant) == 1:
        return meant[0]
    listed = ", ".join(f"{file.name} ({file.sha256[:12]})" for file in offered) or "none"
    if meant:
        raise BadInput(f'"{echo(text)}" may be several files; name one by its SHA-256: {listed}')
    raise BadInput(
        f'no file "{echo(text)}" came with step {step} since it was sent; attached since: {listed}'
    )


def _missing(sending: Sending, typed: Sequence[str]) -> tuple[str, ...]:
    """The papers as the sending asked for them, whatever the case."""
    asked = {" ".join(paper.split()).casefold(): paper for paper in sending.returns}
    found = []
    for text in typed:
        paper = asked.get(" ".join(text.split()).casefold())
        if paper is None:
            offered = ", ".join(sending.returns) or "nothing"
            raise BadInput(f'"{echo(text)}" was not asked of {sending.vendor}; asked for: {offered}')
        found.append(paper)
    return _each_once(found)


def _each_once(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(texts))


def _change(signing: Signing, step: int, what: str, decide: Decide) -> Changed:
    return signing.change(what, lambda _: step, decide)


def _counted(pieces: int) -> int:
    if not 1 <= pieces <= MOST_PIECES:
        raise BadInput(f"{pieces} is no number of pieces; expected 1 to {MOST_PIECES}")
    return pieces


def _pieces(count: int) -> str:
    return f"{count} piece{'' if count == 1 else 's'}"
