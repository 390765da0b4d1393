"""Pieces of a job: scrapped or lost, split off into a job of their own, joined in an assembly, taken out of it."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Any, TypeVar

from traveler.acts.change import Outcome, append, change, load_job, no_such_job
from traveler.acts.consequences import stored_state, tell_others, told_act
from traveler.acts.entry import Entry, Refusal
from traveler.acts.issue import refuse_taken
from traveler.acts.register import shop_now
from traveler.acts.signed_change import Signing
from traveler.acts.signing import Meant, Signer
from traveler.acts.signing import signing as signed_by
from traveler.acts.split_sheet import child_act
from traveler.acts.typed import check_pieces, needed, reason_given
from traveler.errors import BadInput, TravelerError
from traveler.job.balance import balance, standing
from traveler.job.board import as_recorded
from traveler.job.fold import ISSUED, extend, fold
from traveler.job.fold_pieces import JOINED, NOT_USED, REMOVED, SPLIT_OFF, TAKEN_OUT, USED
from traveler.job.gate import JoinComponent, SplitOff, TakeOutComponent, TakeOutPieces, UsePieces, may
from traveler.job.pieces import Way
from traveler.job.sheet_fields import Table
from traveler.job.state import JobState
from traveler.quantity.parse import echo
from traveler.record.chain import code
from traveler.record.shop import StoredEvent, Writing
from traveler.report.words import count_words

S = TypeVar("S")
ASSEMBLE = "assemble"
STALE = "stale: something was added to the job since you looked at it; look again"


def take_out_pieces(signing: Signing, way: Way, pieces: int, serials: Sequence[str], because: str) -> Outcome:
    """Say that pieces were scrapped or lost; the others go on. Refused where there are not so many."""
    reason, named = reason_given(because), _serials(serials)
    check_pieces(pieces)

    def decide(signer: Signer, state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(TakeOutPieces(pieces, named), state, signer.person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        return Entry(TAKEN_OUT, {"way": way, "pieces": pieces, "serials": list(named), "because": reason})

    before = load_job(signing.shop, signing.number)
    signer = _signer(signing, f"pieces {way}")
    if isinstance(signer, Refusal):
        return Outcome(False, False, "no piece is taken out", before, signer.reasons)
    decides = signer.decides(_as_shown(signing, signer, decide))
    changed = change(signing.shop, signing.clock, signer.person, signing.number, decides)
    if changed.refused:
        return Outcome(False, False, "no piece is taken out", changed.after, changed.refused)
    message = f"job {signing.number}: {_told(pieces, named)} {way}; {balance(changed.after).words}"
    return Outcome(True, True, message, changed.after)


def split(signing: Signing, new_number: str, pieces: int, serials: Sequence[str], because: str) -> Outcome:
    """Let ``pieces`` of a job go on as the job ``new_number``, with everything that was done up to now.

    The outcome's state is that of the new job. Raises BadInput for a number that cannot be one, TravelerError for one
    that is taken.
    """
    reason, named = reason_given(because), _serials(serials)
    check_pieces(pieces)
    number = _new_number(new_number)
    before = load_job(signing.shop, signing.number)
    signer = _signer(signing, "split")
    if isinstance(signer, Refusal):
        return Outcome(False, False, f"job {signing.number} is not split", before, signer.reasons)

    def decide(signer: Signer, state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(SplitOff(pieces, named), state, signer.person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        act = {"way": "split off", "job": number, "pieces": pieces, "serials": list(named), "because": reason}
        return Entry(SPLIT_OFF, act)

    with signing.shop.write() as writing:
        refuse_taken(signing.shop, number)
        now = shop_now(writing, signing.clock)
        parent = _existing(signing, writing, signing.number)
        history = writing.events(f"job {signing.number}")
        entry = signer.decides(_as_shown(signing, signer, decide))(parent, now, writing)
        if isinstance(entry, Refusal):
            return Outcome(False, False, f"job {signing.number} is not split", parent, entry.reasons)
        after, stored = _add(writing, signer, parent, entry, now)
        act = child_act(parent, history, signing.shop.shop_id, entry.act)
        first = append(writing, number, signer.person, Entry(ISSUED, {**act, **signer.kept}), now)
        child = fold([first.data], code(first.hash))
        writing.put_board_row(as_recorded(child))
        tell_others(writing, signer.person, now, after, [stored])
    message = f"job {number}: {_told(pieces, named)} split off from {signing.number}, which has {balance(after).words}"
    return Outcome(True, True, message, child)


def join(
    signing: Signing, component: str, pieces: int, serials: Sequence[str], step: int | None = None
) -> Outcome:
    """Join pieces of the job ``component`` in the assembly, at its step of kind assemble or at ``step``.

    May be recorded while the component is not ready; the step is not accepted then.
    """
    named = _serials(serials)
    check_pieces(pieces)
    before = load_job(signing.shop, signing.number)
    at = _assembling_step(before) if step is None else step
    signer = _signer(signing, "joined", at)
    undone = f"{component} is not joined"
    if isinstance(signer, Refusal):
        return Outcome(False, False, undone, before, signer.reasons)

    with signing.shop.write() as writing:
        now = shop_now(writing, signing.clock)
        part = _existing(signing, writing, component)

        def decide(signer: Signer, state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
            asked = may(JoinComponent(component, at), state, signer.person, now)
            used = may(UsePieces(pieces, named), part, signer.person, now)
            reasons = [*asked.reasons, *(f"{component}: {reason}" for reason in used.reasons)]
            if component in _dependants(writing, signing.number):
                reasons.append(f"{component} depends on {signing.number} itself")
            if reasons:
                return Refusal(tuple(reasons))
            return Entry(JOINED, {"step": at, "pieces": pieces, "serials": list(named)})

        assembly = _existing(signing, writing, signing.number)
        entry = signer.decides(_as_shown(signing, signer, decide))(assembly, now, writing)
        if isinstance(entry, Refusal):
            return Outcome(False, False, undone, assembly, entry.reasons)
        used = Entry(USED, {"job": signing.number, **_places(entry.act)})
        part, stored = _add(writing, signer, part, used, now)
        joined = Entry(JOINED, {**entry.act, **_component(part)})
        after, last = _add(writing, signer, assembly, joined, now)
        tell_others(writing, signer.person, now, part, [stored])
        tell_others(writing, signer.person, now, after, [last])
    message = f"step {at}: {_told(pieces, named)} of {component} joined in {signing.number}"
    from traveler.job.gate_pieces import component_faults

    faults = [*component_faults(after.batch.components[-1]), *after.batch.components[-1].standing.holds]
    return Outcome(True, not faults, message, after, tuple(faults))


def take_out_component(signing: Signing, component: str, because: str) -> Outcome:
    """Take the pieces of ``component`` out of the assembly again; they may be used elsewhere."""
    reason = reason_given(because)
    before = load_job(signing.shop, signing.number)
    signer = _signer(signing, "component taken out")
    undone = f"{component} is not taken out"
    if isinstance(signer, Refusal):
        return Outcome(False, False, undone, before, signer.reasons)

    def decide(signer: Signer, state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may(TakeOutComponent(component), state, signer.person, now)
        act = {"job": component, "because": reason}
        return Entry(REMOVED, act) if allowed.granted else Refusal(allowed.reasons)

    with signing.shop.write() as writing:
        now = shop_now(writing, signing.clock)
        assembly = _existing(signing, writing, signing.number)
        entry = signer.decides(_as_shown(signing, signer, decide))(assembly, now, writing)
        if isinstance(entry, Refusal):
            return Outcome(False, False, undone, assembly, entry.reasons)
        part = _existing(signing, writing, component)
        back = Entry(NOT_USED, {"job": signing.number, "because": reason})
        part, stored = _add(writing, signer, part, back, now)
        after, last = _add(writing, signer, assembly, entry, now)
        tell_others(writing, signer.person, now, part, [stored])
        tell_others(writing, signer.person, now, after, [last])
    return Outcome(True, True, f"{component} is taken out of {signing.number}", after)


def _signer(signing: Signing, what: str, step: int | None = None) -> Signer | Refusal:
    meant = Meant(what, signing.number, step)
    return signed_by(signing.shop, signing.clock, signing.person, signing.secret, meant)


def _as_shown(
    signing: Signing,
    signer: Signer,
    decide: Callable[[Signer, JobState, datetime, Writing], Entry | Refusal],
) -> Callable[[JobState, datetime, Writing], Entry | Refusal]:
    """Refused where something was added to the job since it was shown, else with what is kept of the signing."""

    def decide_on_what_was_shown(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        if signing.content is not None and signing.content.strip().upper() != state.head:
            return Refusal((STALE,))
        decided = decide(signer, state, now, writing)
        if isinstance(decided, Refusal):
            return decided
        return Entry(decided.kind, {**decided.act, **signer.kept})

    return decide_on_what_was_shown


def _existing(signing: Signing, writing: Writing, number: str) -> JobState:
    state = stored_state(writing, number)
    if state is None:
        raise TravelerError(no_such_job(signing.shop, number))
    return state


def _add(
    writing: Writing, signer: Signer, state: JobState, entry: Entry, now: datetime
) -> tuple[JobState, StoredEvent]:
    stored = append(writing, state.plan.number, signer.person, entry, now)
    after = extend(state, stored.data, code(stored.hash))
    writing.put_board_row(as_recorded(after))
    return after, stored


def _component(state: JobState) -> dict[str, Any]:
    """What an assembly keeps of a component: what it is of, and how it stood."""
    plan = state.plan
    materials = [[row["id"], row["grade"], row["heat number"]] for row in map(dict, plan.materials)]
    fillers = [[row["id"], row["classification"], row["lot"]] for row in map(dict, plan.fillers)]
    inner = [[part.job, part.pieces, part.code] for part in state.batch.components]
    return {
        **told_act(state, standing(state)),
        "title": plan.title,
        "part": plan.part,
        "materials": materials,
        "fillers": fillers,
        "components": inner,
    }


def _places(act: Mapping[str, Any]) -> dict[str, Any]:
    return {key: act[key] for key in ("step", "pieces", "serials")}


def _dependants(writing: Writing, number: str) -> set[str]:
    """The jobs that were split off from a job, or that its pieces are in, and those that depend on them."""
    found: set[str] = set()
    waiting = [number]
    while waiting:
        state = stored_state(writing, waiting.pop())
        further = () if state is None else (*state.batch.children, *state.batch.assemblies)
        waiting += [job for job in further if job not in found]
        found.update(further)
    return found


def _assembling_step(state: JobState) -> int:
    steps = [step.number for step in state.plan.steps if step.kind == ASSEMBLE]
    if len(steps) == 1:
        return steps[0]
    numbers = ", ".join(map(str, steps or (step.number for step in state.plan.steps)))
    what = "several steps of kind assemble" if steps else "no step of kind assemble"
    raise BadInput(
        f"job {state.plan.number} has {what}; say at which step they are joined (--step): {numbers}"
    )


def _serials(serials: Sequence[str]) -> tuple[str, ...]:
    return tuple(needed(serial, "the serial", "one such as RU3-01") for serial in serials)


def _new_number(typed: str) -> str:
    faults: list[str] = []
    number = Table("", {"number": typed}, faults).name("number", "the number of the new job")
    if number is None:
        raise BadInput(f'"{echo(typed)}" is no number of a job: {faults[0].partition(": ")[2]}')
    return number


def _told(pieces: int, serials: Sequence[str]) -> str:
    return count_words(pieces, "piece") + (f" ({', '.join(serials)})" if serials else "")
