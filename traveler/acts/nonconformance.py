"""Nonconformances: opened, a disposition proposed and decided, looked at again, closed or void."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, Literal, get_args

from traveler.acts.change import Changed, Outcome
from traveler.acts.entry import Entry, Refusal
from traveler.acts.performers import Inspection
from traveler.acts.readings import find_step
from traveler.acts.signed_change import Signing
from traveler.acts.typed import check_pieces, needed, printable, reason_given
from traveler.errors import BadInput
from traveler.job.acceptance import to_be_reverified
from traveler.job.content import content_digest
from traveler.job.decided import CONCESSIONS, Disposition, Nonconformance
from traveler.job.decision_rule import blocks
from traveler.job.fold_nonconformance import (
    APPROVED,
    NONCONFORMANCE_CLOSED,
    NONCONFORMANCE_VOID,
    OPENED,
    PROPOSED,
    REFUSED,
    REVERIFIED,
    reworked,
)
from traveler.job.gate import (
    Act,
    DecideDisposition,
    OnNonconformance,
    OpenNonconformance,
    ProposeDisposition,
    may,
)
from traveler.job.gate_nonconformance import MAY_DISPOSE
from traveler.job.judge import outside, read_again, reading_as_judged
from traveler.job.lots_against import lot_faults
from traveler.job.person import MAY_ACCEPT, MAY_CONCEDE, Person
from traveler.job.requirement import Requirement, StepPlan
from traveler.job.state import JobState, Reading
from traveler.quantity.parse import echo
from traveler.report.words import count_words

DISPOSITIONS: tuple[Disposition, ...] = get_args(Disposition)
_DONE: dict[str, str] = {
    "rework": "rework it to what was asked for",
    "repair": "repair it by the instruction",
    "use as is": "use it as is",
    "scrap": "scrap it",
    "return": "return it",
    "regrade": "regrade it",
}


def open_nonconformance(
    signing: Signing,
    step: int,
    what: str,
    quantity: str | None = None,
    joint: str | None = None,
    readings: Sequence[int] = (),
) -> Outcome:
    """Say that something about a step does not comply.

    About a requirement (``quantity``, of one ``joint`` or of all), about ``readings``, or about the step as a whole.
    Of a requirement named without readings those that stand outside its limit are taken; where there are none, it is
    about what is missing.
    """
    said = needed(what, "what was found", "what does not comply, in words")

    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        found = find_step(state, step)
        named = _quantity(found, quantity)
        taken = tuple(dict.fromkeys(readings)) or _outside(state, found, named, joint)
        allowed = may(OpenNonconformance(step, named, joint, taken), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        act = {
            "nonconformance": len(state.nonconformances) + 1,
            "step": step,
            "quantity": named,
            "joint": joint,
            "what": said,
            "readings": list(taken),
        }
        return Entry(OPENED, act)

    changed = signing.change("nonconformance opened", lambda _: step, decide)
    if changed.refused:
        return Outcome(False, False, "no nonconformance is opened", changed.after, changed.refused)
    entry = changed.after.nonconformances[-1]
    about = f"about reading{'s' if len(entry.readings) > 1 else ''} {', '.join(map(str, entry.readings))}"
    message = f"nonconformance {entry.number} is open at step {step}: {entry.what}"
    return Outcome(True, True, message, changed.after, (about,) if entry.readings else ())


def propose(
    signing: Signing,
    nonconformance: int,
    disposition: str,
    instruction: str,
    pieces: int | None = None,
    serials: Sequence[str] = (),
) -> Outcome:
    """Propose what is to be done, with the instruction that goes with it; an earlier proposal is replaced.

    ``pieces``: how many are scrapped or returned, with their ``serials`` where they have some; None for all.
    """
    wanted = next((known for known in DISPOSITIONS if known == disposition), None)
    if wanted is None:
        raise BadInput(f'"{echo(disposition)}" is no disposition; expected one of: {", ".join(DISPOSITIONS)}')
    told = needed(instruction, "the instruction", "what is to be done, or why it may stay")
    if pieces is None and serials:
        raise BadInput("serials are named and no number of pieces; say how many (--pieces)")
    if pieces is not None:
        check_pieces(pieces)
    some = {} if pieces is None else {"pieces": pieces, "serials": list(serials)}
    changed = _change(
        signing,
        nonconformance,
        PROPOSED,
        lambda _: ProposeDisposition(nonconformance, wanted, pieces, tuple(serials)),
        lambda _: {"disposition": wanted, "instruction": told, **some},
    )
    of = "" if pieces is None else f" ({count_words(pieces, 'piece')})"
    return _told(changed, nonconformance, f"to {_DONE[wanted]}{of} is proposed", "nothing is proposed")


def decide_disposition(
    signing: Signing, nonconformance: int, approve: bool, because: str | None = None
) -> Outcome:
    """Approve or refuse the disposition that was proposed last; a refusal takes a reason.

    Approved rework opens the next attempt of what it does anew.
    """
    reason = printable(because, "reason") if approve else reason_given(because or "")
    verb, word = ("approve", "approved") if approve else ("refuse", "refused")

    def asked(entry: Nonconformance) -> DecideDisposition:
        return DecideDisposition(nonconformance, _proposed(entry), approve)

    def act(entry: Nonconformance) -> dict[str, Any]:
        disposition = _proposed(entry)
        return {"disposition": disposition, "meaning": meaning_of(verb, disposition), "because": reason}

    changed = _change(signing, nonconformance, APPROVED if approve else REFUSED, asked, act)
    if changed.refused:
        return Outcome(False, False, f"nothing is {word}", changed.after, changed.refused)
    entry = _entry(changed.after, nonconformance)
    disposition = _proposed(entry)
    message = f"nonconformance {nonconformance}: to {_DONE[disposition]} is {word}"
    opened = _opened_anew(changed.after, entry) if approve else ()
    return Outcome(True, True, message, changed.after, opened)


def meaning_of(verb: str, disposition: Disposition) -> str:
    """What a decision says; ``verb``: approve or refuse."""
    return f"I {verb} to {_DONE[disposition]}"


def reverify(signing: Signing, nonconformance: int, what: str, complies: bool) -> Outcome:
    """Look at the part again after rework or repair: by what examination, and whether it complies now."""
    told = needed(what, "what was looked at", "the examination and what it showed")
    result = "complies" if complies else "does not comply"
    changed = _change(
        signing,
        nonconformance,
        REVERIFIED,
        lambda _: OnNonconformance("re-verify", nonconformance, complies),
        lambda _: {"what": told, "result": result},
    )
    outcome = _told(changed, nonconformance, f"looked at again, it {result}", "not looked at again")
    return outcome if complies else replace(outcome, complies=False)


def close_nonconformance(signing: Signing, nonconformance: int, because: str | None = None) -> Outcome:
    """Close a nonconformance once what was approved is done, and after rework or repair looked at again."""
    reason = printable(because, "reason") or "what was approved is done"
    return _end(signing, nonconformance, "close", reason)


def void_nonconformance(signing: Signing, nonconformance: int, because: str) -> Outcome:
    """Say that a nonconformance was opened in error, before anything was approved."""
    return _end(signing, nonconformance, "void", reason_given(because))


def _end(signing: Signing, nonconformance: int, kind: Literal["close", "void"], reason: str) -> Outcome:
    event, word = (NONCONFORMANCE_CLOSED, "closed") if kind == "close" else (NONCONFORMANCE_VOID, "void")
    changed = _change(
        signing,
        nonconformance,
        event,
        lambda _: OnNonconformance(kind, nonconformance),
        lambda _: {"because": reason},
    )
    return _told(changed, nonconformance, f"{word}: {reason}", f"not {word}")


def _change(
    signing: Signing,
    nonconformance: int,
    event: str,
    asked: Callable[[Nonconformance], Act],
    act: Callable[[Nonconformance], dict[str, Any]],
) -> Changed:
    """One step in the life of a nonconformance, where the gate lets it; signed over the step that it is about."""

    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        entry = _entry(state, nonconformance)
        allowed = may(asked(entry), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        digest = content_digest(state, find_step(state, entry.step))
        return Entry(event, {"nonconformance": nonconformance, **act(entry), "content": digest})

    def inspects(state: JobState) -> Inspection | None:
        entry = _entry(state, nonconformance)
        return _inspection(asked(entry), entry)

    return signing.change(event, lambda state: _entry(state, nonconformance).step, decide, inspects)


def _inspection(act: Act, entry: Nonconformance) -> Inspection | None:
    """Whom else to ask before somebody decides about their own work; proposing it is nobody's privilege."""
    match act:
        case DecideDisposition(approve=True, disposition=disposition) if disposition in CONCESSIONS:
            proposer = entry.proposals[-1].by if entry.proposals else None
            return Inspection((entry.step,), MAY_CONCEDE, f"approve it ({disposition})", proposer)
        case OnNonconformance(kind="re-verify"):
            return Inspection((entry.step,), MAY_DISPOSE, "look at it again")
        case OnNonconformance(kind=kind):
            return Inspection((entry.step,), MAY_ACCEPT, f"{kind} it")
        case _:
            return None


def _entry(state: JobState, nonconformance: int) -> Nonconformance:
    found = state.nonconformance(nonconformance)
    if found is None:
        known = ", ".join(str(entry.number) for entry in state.nonconformances) or "none yet"
        raise BadInput(f"job {state.plan.number} has no nonconformance {nonconformance}; it has: {known}")
    return found


def _proposed(entry: Nonconformance) -> Disposition:
    if not entry.proposals:
        raise BadInput(f"nobody has proposed a disposition of nonconformance {entry.number} yet")
    return entry.proposals[-1].disposition


def _quantity(step: StepPlan, quantity: str | None) -> str | None:
    """As the step calls it, whatever the case; what it does not ask for is the gate's to refuse."""
    if quantity is None:
        return None
    wanted = " ".join(quantity.split()).casefold()
    known = (requirement.quantity for requirement in step.requirements)
    return next((name for name in known if name.casefold() == wanted), wanted)


def _outside(state: JobState, step: StepPlan, quantity: str | None, joint: str | None) -> tuple[int, ...]:
    """Standing readings of a requirement that speak against it, whatever else stands beside them."""
    return tuple(
        reading.number
        for requirement in step.requirements
        if requirement.quantity == quantity and joint in (None, requirement.joint)
        for reading in state.standing(step, requirement)
        if _speaks_against(state, step, requirement, reading)
    )


def _speaks_against(state: JobState, step: StepPlan, requirement: Requirement, reading: Reading) -> bool:
    """Outside its limit, inside by less than a guard band, or of a lot that the limits are not for.

    Not where it was read again before its run was laid.
    """
    judged = reading_as_judged(state, step, requirement, reading)
    too_near = judged.given_verdict == "conditional" and blocks("conditional", state.decision_rule)
    if outside(requirement, judged) or too_near:
        return reading.number not in read_again(state, step, requirement)
    return bool(lot_faults(state, step, requirement, reading))


def _opened_anew(state: JobState, entry: Nonconformance) -> tuple[str, ...]:
    """What follows from an approval: the attempts that rework opens, the accepted steps after it."""
    attempts = [
        f"attempt {state.attempt(key)} of {key[1]}{f' of {key[2]}' if key[2] else ''} is open"
        for key in (reworked(state, entry) if entry.disposition == "rework" else ())
    ]
    again = [
        f"step {step.number}: {why}" for step in state.plan.steps if (why := to_be_reverified(state, step))
    ]
    return (*attempts, *again)


def _told(changed: Changed, nonconformance: int, done: str, undone: str) -> Outcome:
    if changed.refused:
        return Outcome(False, False, undone, changed.after, changed.refused)
    return Outcome(True, True, f"nonconformance {nonconformance}: {done}", changed.after)
