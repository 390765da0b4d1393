"""Sign a step as performed or as accepted."""

from collections.abc import Sequence
from datetime import datetime

from traveler.acts.change import Entry, Outcome, Refusal, change, load_job
from traveler.acts.clock import Clock
from traveler.acts.performers import Inspection, others_in, own_inspection
from traveler.acts.qualifying import known_welds, qualified
from traveler.acts.readings import find_step
from traveler.acts.register import register_of, shop_now
from traveler.acts.signing import STALE as STALE
from traveler.acts.signing import Meant, signing
from traveler.acts.signing import is_stale as is_stale
from traveler.errors import BadInput
from traveler.job.content import content_digest
from traveler.job.fold import ACCEPTED, PERFORMED
from traveler.job.gate import AcceptStep, PerformStep, earlier_not_performed, may
from traveler.job.judge import JUDGE, judge
from traveler.job.outside import last_sending
from traveler.job.person import MAY_ACCEPT
from traveler.job.state import JobState, Person
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

PERFORMED_MEANING = "I performed this step as written"
RECEIVED_MEANING = "this step was performed by {}; I received what came back and entered it as reported"
ACCEPTED_MEANING = "I looked at the readings of this step and accept it"


def perform(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    step: int,
    runs: int | None = None,
    content: str | None = None,
    *,
    others: Sequence[str] = (),
    secret: Secret | None = None,
) -> Outcome:
    """Say that a step was performed. What happened is recorded even out of order; it then blocks acceptance.

    ``runs``: how many runs of weld were laid; left out, those that are recorded. ``others``: names of those who did it
    together with the signer. ``content`` and ``secret`` as for ``accept``. Of who welded, the event keeps whether they
    were qualified on the day of the weld; not to have been blocks acceptance, too.
    """
    shown = load_job(shop, number)
    found = find_step(shown, step)
    signer = signing(shop, clock, person, secret, Meant("performed", number, step))
    if isinstance(signer, Refusal):
        return Outcome(False, False, f"step {step} is not signed", shown, signer.reasons)
    person = signer.person
    # Looks into other jobs, so it is done while nobody waits for the write lock.
    welds = known_welds(shop, register_of(shop), shown, found, person, shop_now(shop, clock))

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        found = find_step(state, step)
        current = content_digest(state, found)
        if is_stale(content, current):
            return Refusal((STALE,))
        allowed = may(PerformStep(step), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        register = register_of(writing)
        sending = last_sending(state, step)
        act = {
            "step": step,
            "meaning": performed_meaning(sending.vendor if sending else None),
            "revision": state.revision,
            "content": current,
            "runs": _runs(state, step, runs),
            "out_of_order": list(earlier_not_performed(state, step)),
            **others_in(register, person, others),
            **qualified(register, state, found, person, now, welds),
            **signer.kept,
        }
        return Entry(PERFORMED, act)

    changed = change(shop, clock, person, number, signer.decides(decide))
    if changed.refused:
        return Outcome(False, False, f"step {step} is not signed", changed.after, changed.refused)
    signature = changed.after.performed[-1]
    message = f"step {step} signed as performed by {person.name}"
    reasons = [f"out of order, ahead of {signature.missed}"] if signature.out_of_order else []
    if signature.qualification is not None and not signature.qualification["valid"]:
        reasons.append(f"not qualified: {signature.qualification['reason']}")
    return Outcome(True, not reasons, message, changed.after, tuple(reasons))


def accept(
    shop: Shop,
    clock: Clock,
    person: Person,
    number: str,
    step: int,
    content: str | None = None,
    *,
    secret: Secret | None = None,
) -> Outcome:
    """Accept a step; refused with every reason while its readings do not comply.

    ``content``: digest that the signer was shown; the signature is refused as stale where the step has changed since.
    ``secret``: the signer's, where people of the shop have secrets. The verdicts and the version of the judge are kept
    with the acceptance.
    """
    shown = load_job(shop, number)
    find_step(shown, step)
    signer = signing(shop, clock, person, secret, Meant("accepted", number, step))
    if isinstance(signer, Refusal):
        return Outcome(False, False, f"step {step} is not accepted", shown, signer.reasons)
    person = signer.person

    def decide(state: JobState, now: datetime, writing: Writing) -> Entry | Refusal:
        found = find_step(state, step)
        current = content_digest(state, found)
        if is_stale(content, current):
            return Refusal((STALE,))
        allowed = may(AcceptStep(step), state, person, now)
        asked = Inspection((step,), MAY_ACCEPT, "accept this step")
        alone = own_inspection(register_of(writing), state, person, asked)
        if not allowed.granted or alone:
            return Refusal((*allowed.reasons, *([alone] if alone else [])))
        verdicts = {found.requirement_id(r): judge(state, found, r).verdict for r in found.requirements}
        act = {
            "step": step,
            "meaning": ACCEPTED_MEANING,
            "revision": state.revision,
            "content": current,
            "verdicts": verdicts,
            "judge": JUDGE,
            **signer.kept,
        }
        return Entry(ACCEPTED, act)

    changed = change(shop, clock, person, number, signer.decides(decide))
    if changed.refused:
        return Outcome(False, False, f"step {step} is not accepted", changed.after, changed.refused)
    return Outcome(True, True, f"step {step} accepted by {person.name}", changed.after)


def performed_meaning(vendor: str | None) -> str:
    """What the signature "performed" says: of a step whose work went to a vendor, whose work it is."""
    return PERFORMED_MEANING if vendor is None else RECEIVED_MEANING.format(vendor)


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
