"""What a reader of the traveler must know first: everything that did not go by the plain road."""

from collections.abc import Iterator
from datetime import datetime

from traveler.job.acceptance import acceptance_stands
from traveler.job.content import content_digest
from traveler.job.exceptions_finishing import finishing_exceptions
from traveler.job.exceptions_outside import outside_exceptions
from traveler.job.exceptions_pieces import piece_exceptions
from traveler.job.exceptions_revised import revised_exceptions
from traveler.job.exceptions_trust import trust_exceptions
from traveler.job.judge import judge
from traveler.job.judge_chart import conditional_charts
from traveler.job.lots_against import lot_exceptions
from traveler.job.quantities import CRACK_TEST as CRACK_TEST
from traveler.job.quantities import OWN_MINIMUM
from traveler.job.quantities import WAIT as WAIT
from traveler.job.state import JobState, Signature
from traveler.quantity.show import show

METHOD_WORDS = {
    "hand-read": "a list of points read by hand from a paper chart",
    "crayon": "a list of temperature crayons that melted",
}


def exceptions(state: JobState) -> Iterator[str]:
    """Sentences for the first page, in the order in which a strict reader would ask."""
    yield from state.plan.all_conflicts
    yield from finishing_exceptions(state)
    yield from _own_minima(state)
    yield from _assumed(state)
    yield from lot_exceptions(state)
    yield from _superseded(state)
    yield from revised_exceptions(state)
    yield from _charts(state)
    yield from _conditional(state)
    yield from _retried(state)
    yield from _late(state)
    yield from _signatures(state)
    yield from outside_exceptions(state)
    yield from piece_exceptions(state)
    yield from trust_exceptions(state)
    yield from _wait_contradicted(state)


def _assumed(state: JobState) -> Iterator[str]:
    for row in state.plan.materials:
        material = dict(row)
        if "assumed" in material["composition"]:
            yield f"material {material['id']}: {material['composition']}"
    for row in state.plan.fillers:
        filler = dict(row)
        if "assumed" in filler["hydrogen"]:
            yield f"filler {filler['id']}: hydrogen {filler['hydrogen']}"


def _own_minima(state: JobState) -> Iterator[str]:
    """A limit that no method gave: who answers for it, and why. Its row names what no method answers for."""
    rows = (
        (requirement, row)
        for step in state.plan.steps
        for requirement in step.requirements
        for row in requirement.basis
        if row.method == OWN_MINIMUM == requirement.governed_at_least and requirement.at_least
    )
    said = (
        f"joint {requirement.joint}: preheat at least {show(requirement.at_least)} is "
        f"{dict(row.working)['answered for by']}'s own: {dict(row.working)['because']}"
        + "".join(f"; {reason}" for reason in row.reasons)
        for requirement, row in rows
        if requirement.at_least
    )
    yield from dict.fromkeys(said)


def _superseded(state: JobState) -> Iterator[str]:
    for reading in state.readings:
        if reading.superseded and reading.chart is None:
            how = f"superseded by reading {reading.superseded_by}" if reading.superseded_by else "taken back"
            yield f"step {reading.key[0]}, reading {reading.number} ({reading.typed}) was {how}: {reading.reason}"


def _charts(state: JobState) -> Iterator[str]:
    for chart in state.charts:
        if chart.superseded:
            instead = (
                f"chart {chart.superseded_by} stands in its place" if chart.superseded_by else "taken back"
            )
            yield f"step {chart.step}, chart {chart.number} ({chart.name}, {chart.verdict}): {instead}: {chart.reason}"
        elif chart.act["options"]["method"] != "logger":
            method = METHOD_WORDS[chart.act["options"]["method"]]
            yield f"step {chart.step}, chart {chart.number} ({chart.name}) is {method}"


def _conditional(state: JobState) -> Iterator[str]:
    for step in state.plan.steps:
        for requirement in step.requirements:
            judgement = judge(state, step, requirement)
            if judgement.verdict == "conditional" and not judgement.settled:
                yield f"step {step.number}: {requirement.quantity} conditional: {judgement.reason}"
        for reason in conditional_charts(state, step):
            yield f"step {step.number}: {reason}"


def _retried(state: JobState) -> Iterator[str]:
    for retry in state.retries:
        yield f"step {retry.key[0]}: {retry.key[1]} tried again (attempt {retry.attempt}): {retry.because}"


def _late(state: JobState) -> Iterator[str]:
    for reading in state.readings:
        if reading.is_late:
            yield (
                f"step {reading.key[0]}, reading {reading.number} is a late entry: "
                f"happened {reading.moment.happened_at}, written {reading.moment.recorded_at}"
            )


def _signatures(state: JobState) -> Iterator[str]:
    for signature in state.performed:
        if signature.out_of_order:
            yield f"step {signature.step} was signed as performed ahead of {signature.missed}"
    for step in state.plan.steps:
        accepted = state.accepted_of(step.number)
        if accepted is None:
            continue
        if accepted.content != content_digest(state, step):
            yield f"step {step.number}: content changed since it was accepted by {accepted.by.name}"
        for requirement in step.requirements:
            then = accepted.verdicts.get(step.requirement_id(requirement))
            now = judge(state, step, requirement).verdict
            if not then or then == now:
                continue
            if acceptance_stands(state, step):
                yield f"step {step.number}: {requirement.quantity} was accepted as {then}, now judged {now}"
            elif accepted.revision != state.revision:
                yield (
                    f"step {step.number}: {requirement.quantity} was accepted as {then} under revision "
                    f"{accepted.revision}, judged {now} under revision {state.revision}"
                )


def _wait_contradicted(state: JobState) -> Iterator[str]:
    welded = [
        datetime.fromisoformat(signature.moment.happened_at)
        for step in state.plan.steps
        if step.kind == "weld"
        for signature in _first_since_rework(state, step.number)
    ]
    if not welded:
        return
    tests = [r for r in state.readings if r.key[1] == CRACK_TEST and not r.superseded]
    limits = [r.at_least for step in state.plan.steps for r in step.requirements if r.quantity == WAIT]
    for reading in tests:
        waited = datetime.fromisoformat(reading.moment.happened_at) - max(welded)
        for limit in limits:
            if limit is not None and waited.total_seconds() < limit.canonical:
                hours = waited.total_seconds() / 3600
                yield (
                    f"step {reading.key[0]}: the crack test is entered {hours:.1f} h after the last weld was signed "
                    f"as performed, less than the wait asked for"
                )


def _first_since_rework(state: JobState, step: int) -> list[Signature]:
    """The signature by which the weld that counts was there; it may be signed again without another run."""
    since = state.reworked_at(step)
    return [signature for signature in state.performed_of(step) if signature.moment.seq > since][:1]
