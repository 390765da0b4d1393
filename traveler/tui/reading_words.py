"""What is said of a reading as it is entered: with what it may be taken, and how it was judged."""

from datetime import datetime
from typing import TYPE_CHECKING

from traveler.job.instrument import IN_CALIBRATION, RECORDER, state_on
from traveler.job.register import Register
from traveler.report.words import Object, visible
from traveler.tui.entered import Told, told

if TYPE_CHECKING:
    from traveler.acts.change import Outcome

NOT_EVALUABLE = "not evaluable: "


def instruments_words(register: Register, requirement: Object, now: datetime) -> str:
    """With what a requirement is read: the instruments of the register that it admits, else the kinds asked for."""
    asked = requirement["evidence"]["instruments"]
    kinds = {*asked, RECORDER} if "thermocouple" in asked else set(asked)
    known = []
    for entry in register.instruments:
        state = state_on(entry, now)
        if entry.type in kinds and state != "withdrawn":
            known.append(f"{entry.id} {entry.name}" + ("" if state == IN_CALIBRATION else f" ({state})"))
    offered = visible(", ".join(known)) if known else " or ".join(asked)
    return f"what it was read with: {offered}" if offered else "what it was read with"


def told_reading(outcome: "Outcome", done: str) -> Told:
    """The outcome of an entry with its value in both units; of one that shows nothing why, first of all."""
    if outcome.reading is None:
        return told(outcome)
    from traveler.acts.readings import find_requirement
    from traveler.job.view_requirement import reading_object

    state = outcome.state
    reading = next(entry for entry in reversed(state.readings) if entry.number == outcome.reading)
    _, requirement = find_requirement(state, *reading.key)
    value = reading_object(requirement, reading)["shown"]
    run = f" for run {reading.run}" if reading.run else ""
    verdict = outcome.message.partition(": ")[2] or outcome.message
    _, not_evaluable, why = verdict.partition(NOT_EVALUABLE)
    if not_evaluable and verdict.startswith("not shown"):
        words = f"reading {outcome.reading} {done}, {NOT_EVALUABLE}{why}: {value}{run}"
        return Told(outcome.recorded, outcome.complies, words)
    if outcome.complies:
        verdict = _within(verdict, is_number=requirement.type == "number")
    words = f"reading {outcome.reading} {done}: {value}{run}: {verdict}"
    return Told(outcome.recorded, outcome.complies, words, outcome.reasons if outcome.complies else ())


def _within(verdict: str, *, is_number: bool) -> str:
    """A conditional one keeps its words: inside, but by less than the uncertainty."""
    if verdict.startswith("conditional"):
        return verdict
    return "within its limit" if is_number else "met"
