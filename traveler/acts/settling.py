"""Questions about readings answered, and requirements said not to apply."""

from collections.abc import Sequence
from datetime import datetime

from traveler.acts.change import Outcome
from traveler.acts.entry import Entry, Refusal
from traveler.acts.performers import Inspection
from traveler.acts.readings import find_requirement
from traveler.acts.signed_change import Signing
from traveler.acts.typed import reason_given
from traveler.errors import BadInput
from traveler.job.content import content_digest
from traveler.job.fold_settling import ANSWERED, NOT_APPLICABLE
from traveler.job.gate import AnswerQuestion, SetNotApplicable, may
from traveler.job.person import MAY_ACCEPT, MAY_DECIDE, Person
from traveler.job.questions import waits_for_answer
from traveler.job.state import JobState


def answer_question(signing: Signing, stands: bool, because: str, readings: Sequence[int] = ()) -> Outcome:
    """Say whether questioned readings stand, and why; without ``readings`` all of the job that wait for an answer.

    One that does not stand shows nothing from then on, and is made up for by other evidence or a nonconformance.
    """
    reason = reason_given(because)

    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        asked = _asked(state, readings)
        allowed = may(AnswerQuestion(asked), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        answer = "stands" if stands else "does not stand"
        return Entry(ANSWERED, {"readings": list(asked), "answer": answer, "because": reason})

    def first_step(state: JobState) -> int:
        asked = _asked(state, readings)
        return next((reading.key[0] for reading in state.readings if reading.number in asked), 0)

    def inspects(state: JobState) -> Inspection:
        asked = _asked(state, readings)
        steps = {reading.key[0] for reading in state.readings if reading.number in asked}
        return Inspection(tuple(sorted(steps)), MAY_ACCEPT, "answer for these readings")

    changed = signing.change("question answered", first_step, decide, inspects)
    if changed.refused:
        return Outcome(False, False, "nothing is answered", changed.after, changed.refused)
    given = changed.after.answers[-1]
    one = len(given.readings) == 1
    verb = ("stands" if one else "stand") if stands else f"do{'es' if one else ''} not stand"
    numbers = f"reading{'' if one else 's'} {', '.join(map(str, given.readings))}"
    message = f"job {signing.number}: {numbers} {verb}, says {given.by.name}"
    left = ", ".join(map(str, _waiting(changed.after)))
    return Outcome(True, True, message, changed.after, (f"still to be answered: {left}",) if left else ())


def set_not_applicable(
    signing: Signing, step: int, quantity: str, joint: str | None, because: str
) -> Outcome:
    """Say that a requirement does not apply, with the reason, under the limits that it has in this revision.

    It excuses what nothing shows, never a reading outside a limit.
    """
    reason = reason_given(because)

    def decide(person: Person, state: JobState, now: datetime) -> Entry | Refusal:
        found, requirement = find_requirement(state, step, quantity, joint)
        key = (found.number, requirement.quantity, requirement.joint)
        allowed = may(SetNotApplicable(key), state, person, now)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        act = {
            "step": key[0],
            "quantity": key[1],
            "joint": key[2],
            "because": reason,
            "content": content_digest(state, found),
        }
        return Entry(NOT_APPLICABLE, act)

    asked = Inspection((step,), MAY_DECIDE, "say what does not apply")
    changed = signing.change("not applicable", lambda _: step, decide, lambda _: asked)
    if changed.refused:
        return Outcome(
            False, False, f"step {step}: {quantity} is still asked for", changed.after, changed.refused
        )
    said = changed.after.not_applicable[-1]
    message = f"step {step}: {said.quantity} does not apply, says {said.by.name}"
    return Outcome(True, True, message, changed.after)


def _asked(state: JobState, readings: Sequence[int]) -> tuple[int, ...]:
    asked = tuple(dict.fromkeys(readings)) or _waiting(state)
    known = {reading.number for reading in state.readings}
    strangers = [str(number) for number in asked if number not in known]
    if strangers:
        raise BadInput(
            f"job {state.plan.number} has no reading {', '.join(strangers)}; show prints the numbers"
        )
    if not asked:
        raise BadInput(f"no reading of job {state.plan.number} waits for an answer")
    return asked


def _waiting(state: JobState) -> tuple[int, ...]:
    return tuple(reading.number for reading in state.readings if waits_for_answer(state, reading.number))
