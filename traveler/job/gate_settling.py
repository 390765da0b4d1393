"""May a question about readings be answered, or a requirement be said not to apply?"""

from collections.abc import Sequence

from traveler.job.concession import said_not_to_apply
from traveler.job.four_eyes import lacks_role, own_work
from traveler.job.gate_acts import AnswerQuestion, SetNotApplicable
from traveler.job.judge import outside
from traveler.job.person import MAY_ACCEPT, MAY_DECIDE, Person, plain_name
from traveler.job.questions import waits_for_answer
from traveler.job.state import JobState


def against_answer(act: AnswerQuestion, state: JobState, person: Person | None) -> Sequence[str]:
    """Only what is in question is answered for, and not by those who did the work that it shows."""
    reasons = [
        f"reading {number} is not in question"
        for number in act.readings
        if not waits_for_answer(state, number)
    ]
    if not act.readings:
        reasons.append("no reading is named")
    if person is None:
        return reasons
    lacks = lacks_role(person, MAY_ACCEPT, "an answer")
    reasons += [lacks] if lacks else []
    steps = {reading.key[0] for reading in state.readings if reading.number in act.readings}
    for number in sorted(steps):
        step = state.step(number)
        work = own_work(state, step, person) if step else ""
        if work:
            reasons.append(f"{work}; another person must answer for its readings")
    return reasons


def against_not_applicable(act: SetNotApplicable, state: JobState, person: Person | None) -> Sequence[str]:
    """It is the engineer's, the owner's or the decider's to say, and never a way round a reading that is outside."""
    number, quantity, joint = act.key
    step = state.step(number)
    requirement = next(
        (r for r in step.requirements if (r.quantity, r.joint) == (quantity, joint)) if step else iter(()),
        None,
    )
    if step is None or requirement is None:
        return [f"step {number} has no {quantity}"]
    reasons = []
    bad = [reading.number for reading in state.standing(step, requirement) if outside(requirement, reading)]
    if bad:
        reasons.append(f"reading {bad[0]} is outside: that takes a nonconformance")
    elif said_not_to_apply(state, step, requirement) is not None:
        reasons.append(f"{quantity} is said not to apply already")
    if person is None:
        return reasons
    decides = plain_name(person.name) == plain_name(state.plan.decides)
    lacks = "" if decides else lacks_role(person, MAY_DECIDE, "what does not apply")
    work = own_work(state, step, person)
    return [*reasons, *([lacks] if lacks else []), *([f"{work}; another person must say so"] if work else [])]
