"""Record a reading, supersede a wrong entry, try a cold preheat again, attach a file."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from traveler.acts.change import Changed, Entry, Outcome, Refusal, change, load_job
from traveler.acts.clock import Clock, when
from traveler.acts.register import known, register_of, zone_of
from traveler.acts.signing import STALE, Meant, is_stale, signing
from traveler.acts.taken_with import lot_named, reported_by, still_taken_with, taken_with
from traveler.acts.typed import printable, reason_given, typed_value
from traveler.errors import BadInput
from traveler.job.content import content_digest
from traveler.job.decision_rule import blocks
from traveler.job.fold import ATTACHED, RECORDED, RETRIED, SUPERSEDED
from traveler.job.gate import JobAct, RetryHeat, SupersedeReading, may
from traveler.job.gate_supersede import signatures_over
from traveler.job.judge import judge, next_run, outside, reading_as_judged, reading_verdict
from traveler.job.register_gate import secrets_in_use
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import JobState, Key, Person, Reading
from traveler.quantity.parse import echo
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

SIGNED_MEANWHILE = "step {} was signed as performed meanwhile; look again"
ATTACHMENT_ROLES = ("chart", "certificate", "photo")


@dataclass(frozen=True, slots=True)
class NewReading:
    """What a person enters: value as typed with its unit, and where, with what, for which run, when.

    ``from_vendor``: it was not read here, but stands in the papers of the vendor who did the work of the step.
    """

    step: int
    quantity: str
    value: str
    joint: str | None = None
    place: str | None = None
    run: int | None = None
    instrument: str | None = None
    at: str | None = None
    from_vendor: bool = False


def record_reading(shop: Shop, clock: Clock, person: Person, number: str, entered: NewReading) -> Outcome:
    """Record what happened, complying or not; the outcome says in words which.

    Recording is refused only where the job has ended. Raises BadInput for what cannot be read as a value of this
    requirement, and TravelerError for a job, step or quantity that is not there.
    """

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(JobAct("record"), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        step, requirement = find_requirement(state, entered.step, entered.quantity, entered.joint)
        key = (step.number, requirement.quantity, requirement.joint)
        happened_at = when(entered.at, now, zone_of(writing))
        act = {
            **_act(state, requirement, key, entered.value),
            "run": _run(state, requirement, entered.run),
            "attempt": state.attempt(key),
            "place": printable(entered.place, "place"),
            **taken_with(writing, requirement, entered.instrument, happened_at),
            **reported_by(state, step.number, entered.from_vendor),
        }
        act |= lot_named(writing, requirement, act["value"], happened_at)
        return Entry(RECORDED, act, happened_at)

    changed = change(shop, clock, person, number, decide)
    if changed.refused:
        return Outcome(False, False, "not recorded", changed.after, changed.refused)
    return _told(changed, _latest(changed.after), "recorded")


def supersede(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    reading: int,
    value: str | None,
    because: str,
    instrument: str | None = None,
    *,
    content: str | None = None,
    secret: Secret | None = None,
) -> Outcome:
    """Correct a typing error: the entry stays, struck through, and ``value`` counts in its place.

    Once its step is signed as performed, by another person than who entered it or signed; that is a signature then, on
    the ``content`` that they were shown, with their ``secret`` where people have some.
    ``instrument`` where that was entered wrong; with it alone the value stays as it was. Without either the entry is
    taken back.
    """
    reason = reason_given(because)
    shown = load_job(shop, number)
    step = correction_signed(shop, shown, reading)
    signer = None
    if step is not None:
        signed = signing(shop, clock, person, secret, Meant("corrected", number, step))
        if isinstance(signed, Refusal):
            return Outcome(False, False, "not superseded", shown, signed.reasons)
        signer, person = signed, signed.person

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(JobAct("record"), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        old = _standing_reading(state, number, reading)
        if signer is None and correction_signed(writing, state, reading) is not None:
            return Refusal((SIGNED_MEANWHILE.format(old.key[0]),))
        if signer is not None and is_stale(content, content_digest(state, find_step(state, old.key[0]))):
            return Refusal((STALE,))
        allowed = may(SupersedeReading(reading), state, known(register_of(writing), person), now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        corrects = value is not None or instrument is not None
        if old.chart is not None and corrects:
            raise BadInput(
                f"reading {reading} comes out of chart {old.chart}: what a logger wrote is no typing error; attach the "
                "file again with how it should have been read, or leave the value out to take the whole chart back"
            )
        requirement = find_requirement(state, *old.key)[1]
        correction = None
        if corrects:
            correction = {
                **_act(state, requirement, old.key, old.typed if value is None else value),
                "run": old.run,
                "attempt": old.attempt,
                "place": old.place,
                **still_taken_with(writing, requirement, old, instrument),
            }
            happened_at = datetime.fromisoformat(old.moment.happened_at)
            correction |= lot_named(writing, requirement, correction["value"], happened_at)
        kept = {} if signer is None else signer.kept
        return Entry(SUPERSEDED, {"reading": reading, "because": reason, "correction": correction, **kept})

    changed = change(shop, clock, person, number, decide if signer is None else signer.decides(decide))
    if changed.refused:
        return Outcome(False, False, "not superseded", changed.after, changed.refused)
    if value is None and instrument is None:
        chart = next((r.chart for r in changed.after.readings if r.number == reading), None)
        what = f"reading {reading}" if chart is None else f"chart {chart}, with every reading out of it,"
        return Outcome(True, True, f"{what} is taken back", changed.after)
    return _told(changed, _latest(changed.after), f"supersedes reading {reading}:")


def correction_signed(shop: Shop | Writing, state: JobState, reading: int) -> int | None:
    """The step, where correcting a reading of it takes a signature; None where the name that is stated is enough.

    Anybody can type a name: where people have secrets, that it is another person than who signed has to be shown.
    """
    found = next((entry for entry in state.readings if entry.number == reading), None)
    if found is None or not secrets_in_use(register_of(shop)):
        return None
    step = found.key[0]
    return step if signatures_over(state, step, found) else None


def retry(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    step: int,
    quantity: str,
    joint: str | None,
    because: str,
) -> Outcome:
    """Try a preheat that was too cold again: attempt n + 1 counts, the earlier one stays and prints."""
    reason = reason_given(because)

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        found, requirement = find_requirement(state, step, quantity, joint)
        key = (found.number, requirement.quantity, requirement.joint)
        allowed = may(RetryHeat(key), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        act = {
            "step": key[0],
            "quantity": key[1],
            "joint": key[2],
            "attempt": state.attempt(key) + 1,
            "because": reason,
        }
        return Entry(RETRIED, act)

    changed = change(shop, clock, person, number, decide)
    if changed.refused:
        return Outcome(False, False, f"{quantity} is not tried again", changed.after, changed.refused)
    attempt = changed.after.retries[-1].attempt
    return Outcome(True, True, f"step {step}: attempt {attempt} of {quantity} is open", changed.after)


def attach(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    step: int,
    name: str,
    content: Iterable[bytes] | bytes,
    role: str,
) -> Outcome:
    """Keep a file with a step, by its SHA-256: a certificate, a photo, or a chart as it came from the logger."""
    if role not in ATTACHMENT_ROLES:
        raise BadInput(f'a file is attached as {", ".join(ATTACHMENT_ROLES)}, not as "{echo(role)}"')
    shown_name = printable(name, "file name")
    if shown_name is None:
        raise BadInput("the file has no name; expected one such as edge-J1.jpg")

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(JobAct("record"), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        find_step(state, step)
        sha256, size = writing.put_attachment(content)
        return Entry(ATTACHED, {"step": step, "name": shown_name, "as": role, "sha256": sha256, "size": size})

    changed = change(shop, clock, person, number, decide)
    if changed.refused:
        return Outcome(False, False, "not attached", changed.after, changed.refused)
    file = changed.after.attachments[-1]
    return Outcome(True, True, f"{file.name} kept with step {step}, SHA-256 {file.sha256}", changed.after)


def find_requirement(
    state: JobState, step: int, quantity: str, joint: str | None
) -> tuple[StepPlan, Requirement]:
    """The requirement of a step that measures ``quantity``; raises BadInput where none or several match."""
    found = find_step(state, step)
    if joint is not None and joint not in found.joints:
        raise BadInput(f'step {step} has no joint "{echo(joint)}"; its joints: {", ".join(found.joints)}')
    wanted = " ".join(quantity.split()).casefold()
    matching = [
        requirement
        for requirement in found.requirements
        if requirement.quantity.casefold() == wanted and (joint is None or requirement.joint in (None, joint))
    ]
    if not matching:
        offered = ", ".join(dict.fromkeys(requirement.quantity for requirement in found.requirements))
        raise BadInput(f'step {step} has no "{echo(quantity)}"; it asks for: {offered or "nothing"}')
    if len(matching) > 1:
        joints = ", ".join(str(requirement.joint) for requirement in matching)
        raise BadInput(
            f"{quantity} is asked for on several joints of step {step}; name one: --joint {joints}"
        )
    return found, matching[0]


def find_step(state: JobState, step: int) -> StepPlan:
    """The step of that number, or BadInput with the numbers there are."""
    found = state.step(step)
    if found is None:
        numbers = ", ".join(str(plan.number) for plan in state.plan.steps)
        raise BadInput(f"job {state.plan.number} has no step {step}; its steps: {numbers}")
    return found


def _standing_reading(state: JobState, number: str, reading: int) -> Reading:
    found = next((entry for entry in state.readings if entry.number == reading), None)
    if found is None:
        raise BadInput(f"job {number} has no reading {reading}; show prints the numbers")
    if found.superseded:
        by = f"by reading {found.superseded_by}" if found.superseded_by else "and taken back"
        raise BadInput(f"reading {reading} is superseded already {by}")
    return found


def _act(state: JobState, requirement: Requirement, key: Key, value: str) -> dict[str, Any]:
    typed = typed_value(requirement, value)
    return {
        "reading": _next_number(state),
        "step": key[0],
        "quantity": key[1],
        "joint": key[2],
        "value": typed.value,
        "unit": typed.unit,
        "typed": typed.typed,
        **({"bound": typed.bound} if typed.bound else {}),
    }


def _run(state: JobState, requirement: Requirement, run: int | None) -> int | None:
    if not requirement.evidence.per_run:
        if run is not None:
            raise BadInput(f"{requirement.quantity} is not read run by run; leave the run out")
        return None
    if run is None:
        return next_run(state, requirement.joint or "")
    if not 1 <= run <= 9999:
        raise BadInput(f"{run} is no run of weld; expected a number from 1 to 9999")
    return run


def _next_number(state: JobState) -> int:
    highest = state.index.highest
    return 1 if highest is None else highest.number + 1


def _latest(state: JobState) -> Reading:
    latest = state.index.highest
    assert latest is not None, "asked for after a reading was recorded"
    return latest


def _told(changed: Changed, reading: Reading, done: str) -> Outcome:
    """The outcome of an entry: whether it is inside its limit, and how the requirement stands now."""
    state = changed.after
    step, requirement = find_requirement(state, *reading.key)
    reading = reading_as_judged(state, step, requirement, reading)
    fault = outside(requirement, reading)
    judgement = judge(state, step, requirement)
    run = f" for run {reading.run}" if reading.run else ""
    good = "within its limit" if requirement.type == "number" else "complies"
    verdict = f"not met: {fault}" if fault else good
    given = reading_verdict(requirement, reading)
    if requirement.undetermined:
        verdict = "not shown: the limit is not determined"
    elif not fault and given in ("conditional", "not shown"):
        verdict = f"{given}: {reading.given_reason}"
    message = f"reading {reading.number} {done} {requirement.quantity} {reading.typed}{run}: {verdict}"
    reasons = (judgement.reason,) if judgement.reason else ()
    complies = not blocks(given, state.decision_rule)
    return Outcome(True, complies, message, state, reasons, reading.number)
