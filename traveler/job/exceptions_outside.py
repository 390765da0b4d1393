"""What a reader must know first of work that vendors did."""

from collections.abc import Iterator
from datetime import datetime

from traveler.job.concession import outside_work_settled, pieces_settled
from traveler.job.outside import receipt_faults, standing_sendings, too_few_sent, wrong_count
from traveler.job.person import Moment
from traveler.job.plan_json import step_to_act
from traveler.job.requirement import StepPlan
from traveler.job.sending import Review, Sending
from traveler.job.state import JobState, Reading, is_late


def outside_exceptions(state: JobState) -> Iterator[str]:
    """Sentences, step by step: what was not planned, what came back otherwise, what was found of the papers."""
    for step in state.plan.steps:
        for sending in state.sendings_of(step.number):
            yield from (f"step {step.number}: {said}" for said in _of_sending(state, step, sending))
        if few := too_few_sent(state, step):
            yield f"step {step.number}: {few}"
        yield from _not_sent(state, step)
        yield from _reported(state, step)


def _of_sending(state: JobState, step: StepPlan, sending: Sending) -> Iterator[str]:
    if sending.called_off is not None:
        ended = sending.called_off
        count = f"; {short}" if (short := wrong_count(sending)) else ""
        yield f"the sending to {sending.vendor} was called off by {ended.by.name}: {ended.because}{count}"
        return
    yield from _times(sending)
    yield from _planned_otherwise(step, sending)
    yield from _changed_since(state, step, sending)
    if sending.is_out:
        yield f"at {sending.vendor} since {sending.moment.happened_at}"
        return
    settled = pieces_settled(state, step, sending.received_at)
    stands = f"; settled by nonconformance {settled}" if settled else ""
    for fault in (wrong_count(sending), *(f for r in sending.receipts for f in receipt_faults(sending, r))):
        if fault:
            yield f"{fault}{stands}"
    for review in sending.reviews:
        yield from _of_review(state, step, sending, review)
    if not sending.reviews:
        yield f"the certificate of {sending.vendor} is not reviewed"


def _times(sending: Sending) -> Iterator[str]:
    """What was written long after it happened, and what is said to be back before it went."""
    went = datetime.fromisoformat(sending.moment.happened_at)
    if is_late(sending.moment):
        yield _late(f"that it was sent to {sending.vendor}", sending.moment)
    for receipt in sending.receipts:
        if is_late(receipt.moment):
            yield _late(f"that it was received from {sending.vendor}", receipt.moment)
        if datetime.fromisoformat(receipt.moment.happened_at) < went:
            yield (
                f"said to be received from {sending.vendor} at {receipt.moment.happened_at}, before it was sent at "
                f"{sending.moment.happened_at}"
            )


def _late(what: str, moment: Moment) -> str:
    return f"{what} is a late entry: happened {moment.happened_at}, written {moment.recorded_at}"


def _planned_otherwise(step: StepPlan, sending: Sending) -> Iterator[str]:
    if step.outside is None:
        yield f"sent to {sending.vendor}, which the sheet does not plan"
    elif step.outside.vendor != sending.vendor:
        yield f"sent to {sending.vendor}; the sheet gives it to {step.outside.vendor}"


def _changed_since(state: JobState, step: StepPlan, sending: Sending) -> Iterator[str]:
    """The vendor worked to what was sent along; what counts is what the traveler asks for now."""
    sent_under = next((issued for issued in state.revisions if issued.number == sending.revision), None)
    then = next((s for s in sent_under.plan.steps if s.number == step.number), None) if sent_under else None
    if then is not None and step_to_act(then) != step_to_act(step):
        yield (
            f"sent to {sending.vendor} under revision {sending.revision}, and changed since: "
            f"revision {state.revision} counts"
        )


def _of_review(state: JobState, step: StepPlan, sending: Sending, review: Review) -> Iterator[str]:
    missing = f"; missing: {', '.join(review.missing)}" if review.missing else ""
    if not review.accepted:
        settled = outside_work_settled(state, step, review.moment.seq)
        stands = f"; settled by nonconformance {settled}" if settled else ""
        yield (
            f"the certificate of {sending.vendor} was not accepted by {review.by.name}: "
            f"{review.because}{missing}{stands}"
        )
    elif review.because:
        yield (
            f"the certificate of {sending.vendor} was accepted by {review.by.name} with the remark: "
            f"{review.because}"
        )


def _not_sent(state: JobState, step: StepPlan) -> Iterator[str]:
    settled = outside_work_settled(state, step, 0)
    if step.outside is not None and settled and not standing_sendings(state, step.number):
        yield (
            f"step {step.number}: not sent to {step.outside.vendor}, where the sheet gives it; "
            f"settled by nonconformance {settled}"
        )


def _reported(state: JobState, step: StepPlan) -> Iterator[str]:
    """What was not read here: whose word it is and what it was read with, as far as they said."""
    found: dict[tuple[str, str], list[Reading]] = {}
    for reading in state.index.of_step(step.number):
        if reading.reported_by is not None and not reading.superseded:
            used = _used(reading)
            found.setdefault((reading.reported_by, used), []).append(reading)
    for (vendor, used), readings in found.items():
        numbers = ", ".join(str(reading.number) for reading in readings)
        plural = "s" if len(readings) > 1 else ""
        yield (
            f"step {step.number}, reading{plural} {numbers}: reported by {vendor}, not read by this shop{used}"
        )


def _used(reading: Reading) -> str:
    kept = reading.instrument_state
    if reading.unit is None:
        return ""
    if kept is not None:
        return f"; with {kept.instrument} {kept.name}, as the register has it"
    if reading.chart is not None:
        return f"; out of chart {reading.chart}, of a recorder that is not in the register"
    if reading.instrument:
        return f"; with {reading.instrument}, which is not in the register"
    return "; with what is not said"
