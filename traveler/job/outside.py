"""Work given to a vendor: where it stands, and what stands against accepting its step."""

from collections.abc import Iterator
from typing import Literal

from traveler.job.balance import balance
from traveler.job.concession import OUTSIDE_WORK, outside_work_settled, pieces_settled
from traveler.job.four_eyes import review_undone
from traveler.job.requirement import StepPlan
from traveler.job.sending import Receipt, Sending
from traveler.job.state import JobState

SendingWord = Literal["at vendor", "received", "accepted", "not accepted", "called off"]
Takes = Literal["sending", "receipt", "review", "decision", "signature"]
TAKES = f"that takes a nonconformance ({OUTSIDE_WORK})"


def sending_word(sending: Sending) -> SendingWord:
    """Where a sending stands: by what was said last of the papers that came with it, once it is back."""
    if not sending.stands:
        return "called off"
    if sending.is_out:
        return "at vendor"
    review = sending.review
    if review is None:
        return "received"
    return "accepted" if review.accepted else "not accepted"


def standing_sendings(state: JobState, step: int) -> tuple[Sending, ...]:
    """The sendings of a step that were not called off."""
    return tuple(sending for sending in state.sendings_of(step) if sending.stands)


def last_sending(state: JobState, step: int) -> Sending | None:
    """The latest sending of a step that was not called off."""
    return next(reversed(standing_sendings(state, step)), None)


def sending_out(state: JobState, step: int) -> Sending | None:
    """The sending of a step of which nothing is back yet."""
    last = last_sending(state, step)
    return last if last is not None and last.is_out else None


def still_there(state: JobState, step: StepPlan) -> str:
    """What of a step is at a vendor, all of it or some pieces, in words; empty where nothing is.

    What is short and was settled does not come back.
    """
    last = last_sending(state, step.number)
    if last is None:
        return ""
    if last.is_out:
        return f"at {last.vendor}"
    gone = last.returned < last.pieces and pieces_settled(state, step, last.received_at) is None
    return f"partly at {last.vendor}, {wrong_count(last)}" if gone else ""


def too_few_sent(state: JobState, step: StepPlan) -> str:
    """That not all pieces of the job went to a vendor, in words; empty where they did, or none was sent."""
    sendings, here = standing_sendings(state, step.number), balance(state).here
    sent = sum(sending.pieces for sending in sendings)
    if not sendings or sent >= here:
        return ""
    return f"{sent} of {here} pieces went to {sendings[-1].vendor}"


def unsent(state: JobState, step: StepPlan) -> str:
    """The same of a step that the sheet gives to a vendor, where nothing settled it."""
    sendings = standing_sendings(state, step.number)
    if step.outside is None or not sendings:
        return ""
    settled = outside_work_settled(state, step, sendings[-1].moment.seq)
    return too_few_sent(state, step) if settled is None else ""


def to_be_reviewed(state: JobState, step: StepPlan) -> Sending | None:
    """The first sending that is back and whose papers another person has yet to review; without one the latest that is
    back, whose certificate may be reviewed once more."""
    back = [sending for sending in standing_sendings(state, step.number) if sending.receipts]
    waiting = (
        sending
        for sending in back
        if any(takes == "review" for takes, _ in _against_review(state, step, sending))
    )
    return next(waiting, back[-1] if back else None)


def against_outside(state: JobState, step: StepPlan) -> Iterator[tuple[Takes, str]]:
    """Why the step may not be accepted, a sentence each with what it takes: it is out, or what came back is not in
    order. What is wrong with several sendings in the same way is said once."""
    yield from dict.fromkeys(_against_outside(state, step))


def _against_outside(state: JobState, step: StepPlan) -> Iterator[tuple[Takes, str]]:
    sendings = standing_sendings(state, step.number)
    if step.outside is not None and not sendings and outside_work_settled(state, step, 0) is None:
        said = f"not sent to {step.outside.vendor}, where the sheet gives it: send it, or revise the sheet"
        yield "sending", said
    for sending in sendings:
        if sending.is_out:
            yield "receipt", _out(sending)
            continue
        if pieces_settled(state, step, sending.received_at) is None:
            yield from (("decision", fault) for fault in _against_receipts(sending))
        yield from _against_review(state, step, sending)
    if few := unsent(state, step):
        yield "sending", f"{few}, and the sheet gives all of them there: send the others, or {TAKES}"
    performed = state.performed_of(step.number)
    if performed and sendings and performed[-1].moment.seq < sendings[-1].received_at:
        said = f"signed as performed before it came back from {sendings[-1].vendor}; sign again"
        yield "signature", said


def _out(sending: Sending) -> str:
    expected = f", expected on {sending.expected}" if sending.expected else ""
    return f"at {sending.vendor} since {sending.moment.happened_at}{expected}: to be received when it is back"


def _against_receipts(sending: Sending) -> Iterator[str]:
    if count := wrong_count(sending):
        yield f"{count}: {TAKES}"
    for receipt in sending.receipts:
        yield from (f"{fault}: {TAKES}" for fault in receipt_faults(sending, receipt))


def wrong_count(sending: Sending) -> str:
    """That fewer or more pieces are back than were sent, in words; empty where none is back or all are."""
    back, sent = sending.returned, sending.pieces
    if not sending.receipts or back == sent:
        return ""
    if back > sent:
        return f"{back} pieces are back from {sending.vendor} and {sent} were sent"
    return f"{back} of {sent} pieces are back from {sending.vendor}"


def receipt_faults(sending: Sending, receipt: Receipt) -> Iterator[str]:
    """What was found wrong with the pieces when they came back."""
    if receipt.damage is not None:
        yield f"damaged when it came back from {sending.vendor}: {receipt.damage}"
    if receipt.heat_number == "not legible":
        yield f"the heat number is not legible any more since it was at {sending.vendor}"


def _against_review(state: JobState, step: StepPlan, sending: Sending) -> Iterator[tuple[Takes, str]]:
    """A certificate that was not accepted no longer counts once the work was done anew at a vendor and accepted."""
    review = sending.review
    if review is None:
        yield "review", f"certificate of {sending.vendor} not reviewed"
    elif review.accepted:
        if undone := review_undone(state, step, sending):
            yield "review", undone
    elif not _done_anew(state, sending) and outside_work_settled(state, step, review.moment.seq) is None:
        yield (
            "decision",
            f"certificate of {sending.vendor} not accepted: {review.because}; another is to be reviewed, or {TAKES}",
        )


def _done_anew(state: JobState, sending: Sending) -> bool:
    return any(
        later.number > sending.number and sending_word(later) == "accepted"
        for later in standing_sendings(state, sending.step)
    )
