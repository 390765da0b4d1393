"""May work be sent to a vendor, received, its certificate reviewed, a sending called off?"""

from collections.abc import Sequence

from traveler.job.four_eyes import lacks_role, own_work
from traveler.job.gate_acts import ActOutside
from traveler.job.outside import TAKES, last_sending, receipt_faults, sending_word, to_be_reviewed
from traveler.job.person import MAY_ACCEPT, Person
from traveler.job.requirement import StepPlan
from traveler.job.state import JobState


def against_act_outside(act: ActOutside, state: JobState, person: Person | None) -> Sequence[str]:
    """Reasons against it. Anybody sends and receives; the certificate is reviewed as a step is accepted: by somebody
    who may, and who neither did the work nor received it."""
    step = state.step(act.step)
    if step is None:
        return [f"there is no step {act.step}"]
    match act.kind:
        case "send":
            return _against_sending(state, step)
        case "receive":
            return _against_receiving(state, step)
        case "review":
            return [*_against_reviewing(act, state, step), *_not_the_reviewer(state, step, person)]
        case "call off":
            return _against_calling_off(state, step)


def _against_sending(state: JobState, step: StepPlan) -> list[str]:
    last = last_sending(state, step.number)
    if last is None:
        return []
    if last.is_out:
        return [f"it is at {last.vendor} since {last.moment.happened_at}; receive it, or call that off"]
    if last.review is None:
        return [f"the certificate of {last.vendor} is not reviewed yet; review it first, accepted or not"]
    return []


def _against_receiving(state: JobState, step: StepPlan) -> list[str]:
    last = last_sending(state, step.number)
    if last is None:
        return [f"nothing of step {step.number} was sent to a vendor"]
    if last.returned >= last.pieces:
        return [f"everything that was sent to {last.vendor} is back"]
    return []


def _against_reviewing(act: ActOutside, state: JobState, step: StepPlan) -> list[str]:
    sending = to_be_reviewed(state, step)
    if sending is None:
        return [f"nothing of step {step.number} is back from a vendor"]
    if not act.accepts:
        return []
    reasons = []
    if not act.files:
        reasons.append(
            f"no file came with it: attach what {sending.vendor} sent to step {step.number}, then review it"
        )
    if act.missing:
        reasons.append(
            f"{', '.join(act.missing)}: asked of {sending.vendor}, and missing; what is missing is not accepted"
        )
    return reasons


def _not_the_reviewer(state: JobState, step: StepPlan, person: Person | None) -> list[str]:
    if person is None:
        return []
    work, lacks = own_work(state, step, person), lacks_role(person, MAY_ACCEPT, "reviewing a certificate")
    return [
        *([f"{work}; another person must review the certificate"] if work else []),
        *([lacks] if lacks else []),
    ]


def _against_calling_off(state: JobState, step: StepPlan) -> list[str]:
    last = last_sending(state, step.number)
    if last is None:
        return [f"nothing of step {step.number} was sent to a vendor"]
    if last.reviews:
        return [
            f"the certificate of {last.vendor} is {sending_word(last)}; what was reviewed is not called off"
        ]
    # Calling it off would make what was found then unsaid.
    return [f"{fault}: {TAKES}" for receipt in last.receipts for fault in receipt_faults(last, receipt)]
