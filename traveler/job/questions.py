"""Readings put in question, and what was answered."""

from traveler.job.decided import Answer, Question
from traveler.job.state import JobState


def question_on(state: JobState, reading: int) -> str:
    """Why a reading is in question, or was answered for as not standing; empty where it stands."""
    asked, answered = _latest(state, reading)
    if asked is None:
        return ""
    if answered is None:
        return f"{asked.instrument} was found out of tolerance ({asked.finding}) and nobody answered for it"
    return "" if answered.stands else f"it does not stand: {answered.because}"


def waits_for_answer(state: JobState, reading: int) -> bool:
    """Whether a reading is in question and nobody has answered for it since."""
    asked, answered = _latest(state, reading)
    return asked is not None and answered is None


def fallen_since(state: JobState, reading: int, seq: int) -> bool:
    """Whether a reading was put in question later in the log than ``seq``, and the answer is that it does not stand.

    Until somebody answers, the question itself stands against acceptance.
    """
    asked, answered = _latest(state, reading)
    return asked is not None and asked.moment.seq > seq and answered is not None and not answered.stands


def _latest(state: JobState, reading: int) -> tuple[Question | None, Answer | None]:
    """The latest question about a reading and the latest answer after it.

    A correction stands in the place of the entry that it corrects, in question as that was.
    """
    if not state.questions:
        return None, None
    chain = _chain(state, reading)
    asked = [question for question in state.questions if chain & set(question.readings)]
    if not asked:
        return None, None
    since = asked[-1].moment.seq
    answers = [a for a in state.answers if a.moment.seq > since and chain & set(a.readings)]
    return asked[-1], answers[-1] if answers else None


def _chain(state: JobState, reading: int) -> set[int]:
    """The reading and those that it corrects, one behind the other."""
    corrects = {entry.superseded_by: entry.number for entry in state.readings if entry.superseded_by}
    chain = {reading}
    while (earlier := corrects.get(reading)) is not None:
        chain.add(earlier)
        reading = earlier
    return chain
