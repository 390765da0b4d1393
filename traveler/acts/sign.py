"""Sign a step as performed or as accepted."""

from datetime import datetime

from traveler.acts.change import Entry, Outcome, Refusal, change
from traveler.acts.clock import Clock
from traveler.acts.readings import find_step
from traveler.errors import BadInput
from traveler.job.content import content_digest
from traveler.job.fold import ACCEPTED, PERFORMED
from traveler.job.gate import AcceptStep, PerformStep, earlier_not_performed, may
from traveler.job.judge import JUDGE, judge
from traveler.job.state import JobState, Person
from traveler.record.shop import Shop, Writing

PERFORMED_MEANING = "I performed this step as written"
ACCEPTED_MEANING = "I looked at the readings of this step and accept it"
STALE = "stale: the step has changed since you looked at it; look again"


def perform(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    step: int,
    runs: int | None = None,
    content: str | None = None,
) -> Outcome:
    """Say that a step was performed. What happened is recorded even out of order; it then blocks acceptance.

    ``runs``: how many runs of weld were laid; left out, those that are recorded. ``content`` as for ``accept``.
    """

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        found = find_step(state, step)
        current = content_digest(state, found)
        if _is_stale(content, current):
            return Refusal((STALE,))
        allowed = may(PerformStep(step), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        act = {
            "step": step,
            "meaning": PERFORMED_MEANING,
            "revision": state.revision,
            "content": current,
            "runs": _runs(state, step, runs),
            "out_of_order": list(earlier_not_performed(state, step)),
        }
        return Entry(PERFORMED, act)

    changed = change(shop, clock, person, number, decide)
    if changed.refused:
        return Outcome(False, False, f"step {step} is not signed", changed.after, changed.refused)
    signature = changed.after.performed[-1]
    message = f"step {step} signed as performed by {person.name}"
    if signature.out_of_order:
        return Outcome(True, False, message, changed.after, (f"out of order, ahead of {signature.missed}",))
    return Outcome(True, True, message, changed.after)


def accept(
    shop: Shop, clock: Clock, person: Person, number: str, step: int, content: str | None = None
) -> Outcome:
    """Accept a step; refused with every reason while its readings do not comply.

    ``content``: digest that the signer was shown; the signature is refused as stale where the step has changed since.
    The verdicts and the version of the judge are kept with the acceptance.
    """

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        found = find_step(state, step)
        current = content_digest(state, found)
        if _is_stale(content, current):
            return Refusal((STALE,))
        allowed = may(AcceptStep(step), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        verdicts = {found.requirement_id(r): judge(state, found, r).verdict for r in found.requirements}
        act = {
            "step": step,
            "meaning": ACCEPTED_MEANING,
            "revision": state.revision,
            "content": current,
            "verdicts": verdicts,
            "judge": JUDGE,
        }
        return Entry(ACCEPTED, act)

    changed = change(shop, clock, person, number, decide)
    if changed.refused:
        return Outcome(False, False, f"step {step} is not accepted", changed.after, changed.refused)
    return Outcome(True, True, f"step {step} accepted by {person.name}", changed.after)


def _is_stale(shown: str | None, current: str) -> bool:
    return shown is not None and shown.strip().upper() != current


def _runs(state: JobState, number: int, runs: int | None) -> int | None:
    step = find_step(state, number)
    if step.kind != "weld":
        if runs is not None:
            raise BadInput(f"step {number} is no weld step; leave the number of runs out")
        return None
    laid = max(state.runs_recorded(step.joints[0]), default=0)
    if runs is None:
        return laid
    if not 1 <= runs <= 9999:
        raise BadInput(f"{runs} is no number of runs; expected 1 to 9999")
    if runs < laid:
        raise BadInput(f"run {laid} is recorded, so {runs} cannot be all the runs")
    return runs
