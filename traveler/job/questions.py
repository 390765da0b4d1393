"""Readings put in question, and what was answered."""

from traveler.job.state import JobState


def question_on(state: JobState, reading: int) -> str:
    """Why a reading is in question, or was answered for as not standing; empty where it stands."""
    asked = [question for question in state.questions if reading in question.readings]
    if not asked:
        return ""
    latest = asked[-1]
    answers = [a for a in state.answers if reading in a.readings and a.moment.seq > latest.moment.seq]
    if not answers:
        return f"{latest.instrument} was found out of tolerance ({latest.finding}) and nobody answered for it"
    return "" if answers[-1].stands else f"it does not stand: {answers[-1].because}"


def waits_for_answer(state: JobState, reading: int) -> bool:
    """Whether a reading is in question and nobody has answered for it since."""
    asked = [question.moment.seq for question in state.questions if reading in question.readings]
    answered = [answer.moment.seq for answer in state.answers if reading in answer.readings]
    return bool(asked) and max(asked) > max(answered, default=0)
