"""Plan a sheet, issue revision 1 of a job's traveler, revise it in mid-job, close or cancel it."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from traveler import __version__
from traveler.acts.change import (
    Changed,
    Entry,
    Outcome,
    Refusal,
    append,
    change,
    load_job,
    state_of,
)
from traveler.acts.clock import Clock
from traveler.acts.origin import made_from
from traveler.acts.planning import plan_sheet
from traveler.acts.register import register_of, shop_now
from traveler.acts.signing import Meant, Signer, signing
from traveler.acts.typed import reason_given
from traveler.errors import BadInput, NotAllowed, TravelerError
from traveler.job.balance import balance
from traveler.job.board import as_recorded
from traveler.job.fold import CANCELLED, CLOSED, ISSUED, REVISED
from traveler.job.gate import JobAct, may, may_release
from traveler.job.gate_pieces import against_other_pieces
from traveler.job.gate_points import against_giving_up
from traveler.job.person import plain_name
from traveler.job.plan_json import plan_to_act
from traveler.job.register import Register
from traveler.job.requirement import Plan, Requirement
from traveler.job.sheet_reader import decode_sheet
from traveler.job.state import SIMPLE_ACCEPTANCE, JobState, Person, Reading
from traveler.quantity.parse import echo, unit
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing


def issue(shop: Shop, clock: Clock, person: Person, raw: bytes, *, secret: Secret | None = None) -> Outcome:
    """Put a job into the shop's file and release revision 1. A number already used raises TravelerError.

    ``secret``: the releaser's, where people of the shop have secrets. Raises NotAllowed where they may not release.
    """
    text, plan = decode_sheet(raw), plan_sheet(raw)
    if shop.has_job(plan.number):
        raise TravelerError(number_taken(plan.number))
    signer = signing(shop, clock, person, secret, Meant("released", plan.number))
    if isinstance(signer, Refusal):
        raise NotAllowed(_not_released(plan, signer))

    def decide(plan: Plan, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may_release(plan, signer.person)
        origin = made_from(plan, writing, None)
        act = _issue_act(plan, text, 1, None, shop, register_of(writing), origin)
        return Entry(ISSUED, {**act, **signer.kept}) if allowed.granted else Refusal(allowed.reasons)

    with shop.write() as writing:
        refuse_taken(shop, plan.number)
        now = shop_now(writing, clock)
        entry = signer.decides(decide)(plan, now, writing)
        if isinstance(entry, Entry):
            stored = append(writing, plan.number, signer.person, entry, now)
            state = state_of([stored])
            writing.put_board_row(as_recorded(state))
    if isinstance(entry, Refusal):
        raise NotAllowed(_not_released(plan, entry))
    conflicts = plan.all_conflicts
    steps = f"{len(plan.steps)} step{'' if len(plan.steps) == 1 else 's'}"
    message = f"job {plan.number}: revision 1 issued, {steps}"
    return Outcome(True, not conflicts, message, state, conflicts)


def revise(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    raw: bytes,
    because: str,
    *,
    head: str | None = None,
    secret: Secret | None = None,
) -> Outcome:
    """Issue the next revision from a changed sheet.

    What was signed stays signed as long as the revision leaves the step alone; a step whose limits change is judged
    anew. A step that has readings or signatures may not be dropped. ``head`` and ``secret`` as for ``close``.
    """
    reason = reason_given(because)
    text, plan = decode_sheet(raw), plan_sheet(raw)
    if plan.number != number:
        raise BadInput(f'the sheet is of job "{plan.number}", not of job "{echo(number)}"')

    def decide(signer: Signer, state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(JobAct("revise"), state, signer.person, now)
        dropped = (
            *_dropped(state, plan),
            *against_other_pieces(state, plan.quantity, plan.serials),
            *against_giving_up(state, plan, signer.person, now),
        )
        if not allowed.granted or dropped:
            return Refusal((*allowed.reasons, *dropped))
        origin = made_from(plan, writing, state.revisions[-1].made_from)
        register = register_of(writing)
        return Entry(REVISED, _issue_act(plan, text, state.revision + 1, reason, shop, register, origin))

    changed = _signed(shop, clock, person, Meant("revised", number), head, secret, decide)
    if changed.refused:
        return Outcome(False, False, "not revised", changed.after, changed.refused)
    conflicts = plan.all_conflicts
    message = f"job {number}: revision {changed.after.revision} issued"
    return Outcome(True, not conflicts, message, changed.after, conflicts)


def close(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    *,
    head: str | None = None,
    secret: Secret | None = None,
    pieces: int | None = None,
) -> Outcome:
    """Close a job whose every step is accepted; otherwise refused, with what is missing.

    ``pieces``: how many are accepted, as counted; needed where more than one came into the job.

    ``head``: code of the job's last event that the signer was shown; refused as stale where something was added since.
    ``secret``: the signer's, where people of the shop have secrets.
    """

    def decide(signer: Signer, state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        if pieces is None and state.plan.quantity > 1:
            return Refusal(
                (f"count the accepted pieces and say how many (--pieces): {balance(state).words}",)
            )
        allowed = may(JobAct("close", pieces), state, signer.person, now)
        counted = {} if pieces is None else {"pieces": pieces}
        return Entry(CLOSED, {"meaning": CLOSING, **counted}) if allowed.granted else Refusal(allowed.reasons)

    changed = _signed(shop, clock, person, Meant("closed", number), head, secret, decide)
    if changed.refused:
        return Outcome(False, False, f"job {number} is not closed", changed.after, changed.refused)
    return Outcome(True, True, f"job {number} is closed", changed.after)


def cancel(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    because: str,
    *,
    head: str | None = None,
    secret: Secret | None = None,
) -> Outcome:
    """End a job without completing it, for a reason. ``head`` and ``secret`` as for ``close``."""
    reason = reason_given(because)

    def decide(signer: Signer, state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(JobAct("cancel"), state, signer.person, now)
        return Entry(CANCELLED, {"because": reason}) if allowed.granted else Refusal(allowed.reasons)

    changed = _signed(shop, clock, person, Meant("cancelled", number), head, secret, decide)
    if changed.refused:
        return Outcome(False, False, f"job {number} is not cancelled", changed.after, changed.refused)
    return Outcome(True, True, f"job {number} is cancelled", changed.after)


CLOSING = "every step was accepted and the traveler is complete"


def _signed(
    shop: Shop,
    clock: Clock,
    person: Person,
    meant: Meant,
    head: str | None,
    secret: Secret | None,
    decide: Callable[[Signer, JobState, datetime, Writing], Entry | Refusal],
) -> Changed:
    """Append what ``decide`` says of the job as a whole, unless it is no longer the one that was shown."""
    number = str(meant.job)
    before = load_job(shop, number)
    signer = signing(shop, clock, person, secret, meant)
    if isinstance(signer, Refusal):
        return Changed(before, before, signer.reasons)

    def decide_on_what_was_shown(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        if head is not None and head.strip().upper() != state.head:
            return Refusal((STALE,))
        decided = decide(signer, state, now, writing)
        if isinstance(decided, Refusal):
            return decided
        return replace(decided, act={**decided.act, **signer.kept})

    return change(shop, clock, signer.person, number, signer.decides(decide_on_what_was_shown))


STALE = "stale: something was added to the job since you looked at it; look again"


def number_taken(number: str) -> str:
    """That a shop has a job of this number, in words."""
    return f'job "{number}" is in this shop already; give the sheet another number'


def refuse_taken(shop: Shop, number: str) -> None:
    """Raises TravelerError where the shop has a job of this number, or of one that reads the same on paper."""
    wanted = plain_name(number)
    for known in shop.job_numbers():
        if plain_name(known) == wanted:
            raise TravelerError(number_taken(known))


def _not_released(plan: Plan, refused: Refusal) -> str:
    return f"job {plan.number} is not released: {'; '.join(refused.reasons)}"


def _issue_act(
    plan: Plan,
    text: str,
    revision: int,
    because: str | None,
    shop: Shop,
    register: Register,
    origin: Mapping[str, Any] | None,
) -> dict[str, object]:
    return {
        "shop": shop.shop_id,
        "revision": revision,
        "because": because,
        "program": __version__,
        "shop_name": register.settings.get("shop name"),
        "decision_rule": plan.decision_rule or register.settings.get("decision rule", SIMPLE_ACCEPTANCE),
        "sheet": text,
        "plan": plan_to_act(plan),
        **({"made_from": origin} if origin else {}),
    }


def _dropped(state: JobState, plan: Plan) -> tuple[str, ...]:
    used = {signature.step for signature in (*state.performed, *state.accepted)}
    used |= {attachment.step for attachment in state.attachments}
    used |= {entry.step for entry in state.nonconformances} | {point.step for point in state.points}
    used |= {sending.step for sending in state.sendings}
    return (*_signed_and_gone(state, plan, sorted(used)), *_read_and_gone(state, plan))


def _signed_and_gone(state: JobState, plan: Plan, used: list[int]) -> Iterator[str]:
    """A signature speaks of the work it was put under: not of another kind of step under the same number."""
    steps = {step.number: step for step in plan.steps}
    for number in used:
        old, new = state.step(number), steps.get(number)
        if old is None or new is None:
            yield f"step {number} is signed or has files and the new sheet lacks it"
        elif old.kind != new.kind or not set(old.joints) <= set(new.joints):
            yield f"step {number} is signed or has files as {old.kind} of {', '.join(old.joints)}; it must stay that"


def _read_and_gone(state: JobState, plan: Plan) -> Iterator[str]:
    kept = {
        (step.number, requirement.quantity, requirement.joint): requirement
        for step in plan.steps
        for requirement in step.requirements
    }
    for reading in {reading.key: reading for reading in state.readings}.values():
        step, quantity, _ = reading.key
        requirement = kept.get(reading.key)
        if requirement is None:
            yield f"step {step} has readings of {quantity} and the new sheet lacks that requirement"
        elif not _can_judge(requirement, reading):
            yield f"step {step} has readings of {quantity} that cannot be held against the new sheet's limit"


def _can_judge(requirement: Requirement, reading: Reading) -> bool:
    """Both words, or both numbers of one kind: HV is not held against a limit in HRC."""
    if requirement.unit is None or reading.unit is None:
        return requirement.unit is None and reading.unit is None
    return unit(requirement.unit).canonical_symbol == unit(reading.unit).canonical_symbol
