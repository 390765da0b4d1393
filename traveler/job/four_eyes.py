"""Whoever did the work does not accept it: persons are compared, not names or roles where there are ids."""

from traveler.job.person import Person, Role
from traveler.job.qualification import may_name_person, welders_named
from traveler.job.requirement import StepPlan
from traveler.job.sending import Sending
from traveler.job.state import JobState

WORK_ON_A_JOINT = ("fit", "weld")
LOOKED_AT_AS_A_WHOLE = ("weld", "inspect")
"""Fitting, tacking and welding make one weld: none of those who did any of it may accept it or its inspection."""


def own_work(state: JobState, step: StepPlan, person: Person) -> str:
    """What of the work a person did who would accept it, in words; empty where none.

    They signed the step as performed, are named in a signature as having done it too, or in the step as a welder, or
    received it from the vendor who did it. A
    registered person also where they did that at another step that fitted or welded the same joint. Where the sheet
    allows self-inspection it is not asked.
    """
    if state.plan.self_inspection:
        return ""
    return work_done(state, step, person)


def work_done(state: JobState, step: StepPlan, person: Person) -> str:
    """As ``own_work``, whatever the sheet allows."""
    if _worked_in(state, step, person):
        return f"{person.name} performed this step"
    if vendor := _received_from(state, step, person):
        return f"{person.name} received the work of this step from {vendor}"
    return work_on_joint(state, step, person) if step.kind in LOOKED_AT_AS_A_WHOLE else ""


def review_undone(state: JobState, step: StepPlan, sending: Sending) -> str:
    """That whoever accepted a vendor's certificate turned out to have worked on what it is about, in words; empty where
    they did not."""
    review = sending.review
    work = own_work(state, step, review.by) if review is not None and review.accepted else ""
    return f"certificate of {sending.vendor} not reviewed by another person: {work}" if work else ""


def _received_from(state: JobState, step: StepPlan, person: Person) -> str:
    """The vendor of whom somebody received work of the step: what they say of it is part of what is accepted."""
    return next(
        (
            sending.vendor
            for sending in state.sendings_of(step.number)
            if sending.stands and any(receipt.by.is_same_as(person) for receipt in sending.receipts)
        ),
        "",
    )


def work_on_joint(state: JobState, step: StepPlan, person: Person) -> str:
    """What a registered person did at another step that fitted or welded a joint of this one; empty where nothing."""
    if person.id is None:
        return ""
    for other in state.plan.steps:
        same_joint = set(other.joints) & set(step.joints)
        elsewhere = other.number != step.number and other.kind in WORK_ON_A_JOINT
        if elsewhere and same_joint and _worked_in(state, other, person):
            return f"{person.name} performed step {other.number}, {other.kind} of the same joint"
    return ""


def lacks_role(person: Person, roles: tuple[Role, ...], what: str) -> str:
    """Why a registered person may not do it by their role, in words; empty where they may."""
    if person.has_role(roles):
        return ""
    own = ", ".join(person.roles) or "nobody in particular"
    return f"{person.name} is registered as {own}; {what} takes {' or '.join(roles)}"


def _worked_in(state: JobState, step: StepPlan, person: Person) -> bool:
    signed = any(
        performer.is_same_as(person)
        for signature in state.performed_of(step.number)
        for performer in signature.performers
    )
    return signed or any(may_name_person(person, text) for text in welders_named(state, step))
