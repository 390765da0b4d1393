"""What a signature on a step covers, as one short digest."""

import hashlib
import json
from base64 import b32encode
from collections.abc import Iterable

from traveler.job.decided import Nonconformance
from traveler.job.plan_json import step_to_act
from traveler.job.requirement import StepPlan
from traveler.job.sending import Review, Sending
from traveler.job.state import SIMPLE_ACCEPTANCE, JobState, Reading, Signature


def content_digest(state: JobState, step: StepPlan, signed_before: int | None = None) -> str:
    """Digest of everything that an acceptance stands for: limits with their basis, every reading, the attempts.

    SHA-256 over canonical JSON, its first 80 bits in base32. A reading added, superseded or tried again changes it,
    and so does a revision that changes the step; a revision that leaves the step alone does not. ``signed_before``: of
    the signatures, releases and waivers only those before that place in the log; of what they are about all there is.
    """
    parts = (*_covered(state, step), state.performed, state.points)
    question = ("content", step.number, signed_before)
    return state.workings.known(question, parts, lambda: _content_digest(state, step, signed_before))


def _covered(state: JobState, step: StepPlan) -> tuple[object, ...]:
    """All that the evidence of a step is taken from."""
    return (
        step,
        state.index.of_step(step.number),
        state.revisions,
        state.retries,
        state.attachments,
        state.charts,
        state.nonconformances,
        state.questions,
        state.answers,
        state.not_applicable,
        state.sendings,
        state.batch,
    )


def _content_digest(state: JobState, step: StepPlan, signed_before: int | None) -> str:
    content = {
        **_evidence(state, step),
        "performed": [
            _performed(signature)
            for signature in state.performed_of(step.number)
            if signed_before is None or signature.moment.seq < signed_before
        ],
    }
    reviews = [
        _review(sending, review)
        for sending in state.sendings_of(step.number)
        for review in sending.reviews
        if signed_before is None or review.moment.seq < signed_before
    ]
    if reviews:
        content["reviews"] = reviews
    points = [
        point
        for point in state.points
        if point.step == step.number and (signed_before is None or point.moment.seq < signed_before)
    ]
    if points:
        content["points"] = [
            [point.point, point.kind, point.by.name, point.by.id, point.because, point.moment.happened_at]
            for point in points
        ]
    return _digest(content)


def changed_since(state: JobState, step: StepPlan, signature: Signature) -> bool:
    """Whether what a signature on a step covers is another today: a reading, a limit, a nonconformance, a file.

    What others signed or released after it is not of that.
    """
    return signature.content != content_digest(state, step, signed_before=signature.moment.seq)


def evidence_digest(state: JobState, step: StepPlan) -> str:
    """Digest of what a party looks at before a hold is released: the content without signatures and releases."""
    return _digest(_evidence(state, step))


def _evidence(state: JobState, step: StepPlan) -> dict[str, object]:
    readings = state.index.of_step(step.number)
    content: dict[str, object] = {
        "step": step_to_act(step),
        "readings": [_reading(reading) for reading in readings],
        "attempts": [
            [*retry.key[1:], retry.attempt, retry.because]
            for retry in state.retries
            if retry.key[0] == step.number
        ],
        "files": [attachment.sha256 for attachment in state.attachments if attachment.step == step.number],
    }
    # Only where there are some: what was accepted before a part of the record existed keeps its digest.
    if charts := state.charts_of(step.number):
        content["charts"] = [
            [c.number, c.sha256, c.limits, c.act["criteria"], c.superseded, c.superseded_by, c.reason]
            for c in charts
        ]
    if sendings := state.sendings_of(step.number):
        content["outside"] = [_sending(sending) for sending in sendings]
    if nonconformances := state.nonconformances_of(step.number):
        content["nonconformances"] = [_nonconformance(entry) for entry in nonconformances]
    if questioned := _questioned(state, {reading.number for reading in readings}):
        content["questioned"] = questioned
    if joined := [part for part in state.batch.components if part.step == step.number]:
        content["components"] = [[part.job, part.pieces, *part.serials, part.by.name] for part in joined]
    not_applicable = [said for said in state.not_applicable if said.step == step.number]
    if not_applicable:
        content["not applicable"] = [
            [said.quantity, said.joint, said.because, said.by.name, said.revision] for said in not_applicable
        ]
    if state.decision_rule != SIMPLE_ACCEPTANCE and any(r.bound or r.names_instrument for r in readings):
        content["decision rule"] = state.decision_rule
    return content


def _digest(content: dict[str, object]) -> str:
    text = json.dumps(content, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return b32encode(hashlib.sha256(text.encode()).digest()[:10]).decode()


def _reading(reading: Reading) -> list[object]:
    told: list[object] = [
        reading.number, *reading.key, reading.value, reading.unit, reading.attempt, reading.run, reading.place,
        reading.instrument, reading.by.name, reading.moment.happened_at, reading.superseded,
        reading.superseded_by, reading.reason,
    ]  # fmt: skip
    later: dict[str, object] = {}
    if reading.by.id is not None:
        later["person"] = reading.by.id
    if reading.bound is not None:
        later["bound"] = reading.bound
    if reading.out_of_order:
        later["out of order"] = list(reading.out_of_order)
    if reading.names_instrument:
        state = reading.instrument_state
        later["instrument state"] = None if state is None else dict(state.act)
    if reading.lot is not None:
        later["lot"] = dict(reading.lot)
    if reading.reported_by is not None:
        later["reported by"] = reading.reported_by
    return [*told, later] if later else told


def _sending(sending: Sending) -> list[object]:
    """What was sent and what came back; what was found of the papers is signed over by itself, like a release."""
    receipts = [
        [r.pieces, r.condition, r.damage, r.heat_number, r.by.name, r.by.id, r.moment.happened_at]
        for r in sending.receipts
    ]
    return [
        sending.number, sending.vendor, sending.order, sending.what, sending.pieces, sending.requirement,
        sending.revision, list(sending.returns), sending.by.name, sending.moment.happened_at, receipts,
        sending.called_off and sending.called_off.because,
    ]  # fmt: skip


def _review(sending: Sending, review: Review) -> list[object]:
    return [
        sending.number, review.accepted, [list(file) for file in review.files], review.held_against,
        list(review.missing), review.because, review.by.name, review.by.id, review.moment.happened_at,
    ]  # fmt: skip


def _performed(signature: Signature) -> list[object]:
    told: list[object] = [signature.by.name, signature.moment.happened_at, signature.runs]
    if signature.by.id is not None:
        told.append(signature.by.id)
    if signature.qualification is not None:
        told.append(dict(signature.qualification))
    if signature.others:
        told.append([[other.name, other.id] for other in signature.others])
    return told


def _nonconformance(entry: Nonconformance) -> list[object]:
    dispositions = [
        [
            p.disposition,
            p.instruction,
            p.by.name,
            p.decision and [p.decision.approved, p.decision.by.name],
            *([p.pieces, *p.serials] if p.pieces is not None else []),
        ]
        for p in entry.proposals
    ]
    again = [[check.what, check.complies, check.by.name] for check in entry.reverifications]
    return [
        entry.number, entry.quantity, entry.joint, entry.what, list(entry.readings), dispositions, again,
        entry.status,
    ]  # fmt: skip


def _questioned(state: JobState, numbers: Iterable[int]) -> list[object]:
    """Questions and answers about these readings, in order of the log."""
    of_step = set(numbers)
    told: list[tuple[int, list[object]]] = []
    for question in state.questions:
        if of_step & set(question.readings):
            told.append((question.moment.seq, [question.instrument, question.finding, *question.readings]))
    for answer in state.answers:
        if of_step & set(answer.readings):
            told.append((answer.moment.seq, [answer.stands, answer.because, *answer.readings]))
    return [entry for _, entry in sorted(told, key=lambda one: one[0])]
