"""Temperature crayons: one that melts is a lower bound, one that holds an upper bound, two show a window."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from fractions import Fraction

from traveler.job.decision_rule import margin_needed
from traveler.job.instrument import IN_CALIBRATION
from traveler.job.questions import question_on
from traveler.job.requirement import Requirement, StepPlan, Verdict
from traveler.job.state import JobState, Reading
from traveler.metals.outcome import Source
from traveler.quantity.parse import stored, unit
from traveler.quantity.quantity import Quantity, compare
from traveler.quantity.show import rounded_down, rounded_up, show

CRAYON_SOURCE = Source(
    "a seller's page on temperature crayons", "secondary", clause="melts within 1 % of its mark"
)
GOOD_TO = Fraction(1, 100)
TOGETHER = timedelta(minutes=10)
"""Two crayons that are to show one temperature are put on within this time (our own figure, no published source)."""
CONTACT_THERMOMETER = "contact thermometer"


def crayon_verdict(
    state: JobState, step: StepPlan, requirement: Requirement, reading: Reading
) -> tuple[Verdict | None, str]:
    """The verdict on a crayon's mark beside the others of the same place (and run).

    Alone it shows nothing. Two show that the requirement is met where one that melts is marked at the minimum or
    above, and one that holds is marked hotter than it and at the maximum or below; where there is only one bound, both
    are wanted all the same. Of more than two the closest count, and the others show nothing. The mark is good to 1 %:
    where that reaches beyond a limit the two are ``conditional``.
    """
    fault = _not_admitted(step, requirement)
    if fault:
        return "not shown", f"not evaluable: {fault}"
    window = _window(requirement, _beside(state, step, requirement, reading))
    if window is None:
        alone = f"{words(reading)} by itself shows {_shows(reading)}"
        return "not shown", f"not evaluable: {alone}; {_wanted(requirement)}"
    if reading not in window:
        return (
            "not shown",
            f"{words(reading)} adds nothing to readings {window[0].number} and {window[1].number}",
        )
    melts, holds = map(_mark, window)
    factor = margin_needed(state.decision_rule)
    low, high = requirement.at_least, requirement.at_most
    unsure = (low is not None and melts.canonical - low.canonical < factor * _error(melts)) or (
        high is not None and high.canonical - holds.canonical < factor * _error(holds)
    )
    if unsure:
        return "conditional", (
            f"between {show(melts)} (melts) and {show(holds)} (holds), each good to 1 % of its mark, which reaches "
            "beyond the limit"
        )
    return None, ""


def crayon_outside(requirement: Requirement, reading: Reading) -> str:
    """Why a crayon shows that a limit is broken; empty where it does not. Its mark is taken as it stands."""
    mark, low, high = _mark(reading), requirement.at_least, requirement.at_most
    if reading.bound == "at_least" and high is not None and compare(mark, high) > 0:
        return f"{words(reading)}, which is above {show(high)}"
    if reading.bound == "at_most" and low is not None and compare(mark, low) <= 0:
        return f"{words(reading)}, so it is below {show(low)}"
    return ""


def words(reading: Reading) -> str:
    """ "melts 300 °F" or "holds 350 °F"."""
    return f"{'melts' if reading.bound == 'at_least' else 'holds'} {show(_mark(reading))}"


def _not_admitted(step: StepPlan, requirement: Requirement) -> str:
    admitted = requirement.evidence.instruments
    if step.kind == "stress relief" or (admitted and CONTACT_THERMOMETER not in admitted):
        return f"a crayon is no record of a {requirement.quantity}"
    return ""


def _beside(state: JobState, step: StepPlan, requirement: Requirement, reading: Reading) -> Sequence[Reading]:
    """The crayons that count at the same place, time, run and attempt, this one too."""
    return [
        other
        for other in state.readings_of(step, requirement)
        if other.bound is not None
        and not other.superseded
        and other.attempt == reading.attempt
        and other.run == reading.run
        and _fold(other.place) == _fold(reading.place)
        and _taken_together(reading, other)
        and not question_on(state, other.number)
        and (other.instrument_state is None or other.instrument_state.state == IN_CALIBRATION)
    ]


def _window(requirement: Requirement, beside: Sequence[Reading]) -> tuple[Reading, Reading] | None:
    """The two that show it best: the hottest that melts and the coolest that holds, both inside the limits."""
    low, high = requirement.at_least, requirement.at_most
    melting = [r for r in beside if r.bound == "at_least" and (low is None or compare(_mark(r), low) >= 0)]
    holding = [r for r in beside if r.bound == "at_most" and (high is None or compare(_mark(r), high) <= 0)]
    pairs = [
        (melts, holds)
        for melts in melting
        for holds in holding
        if compare(_mark(melts), _mark(holds)) < 0 and _taken_together(melts, holds)
    ]
    return max(pairs, key=lambda pair: (_mark(pair[0]).canonical, -_mark(pair[1]).canonical), default=None)


def _taken_together(one: Reading, other: Reading) -> bool:
    times = [datetime.fromisoformat(reading.moment.happened_at) for reading in (one, other)]
    return abs(times[0] - times[1]) <= TOGETHER


def _mark(reading: Reading) -> Quantity:
    return stored(reading.value, reading.unit or "")


def _error(mark: Quantity) -> Fraction:
    """1 % of the mark as a difference [C deg].

    Read in °F whatever the mark is in, where it is the more: nobody says of which scale the 1 % is meant.
    """
    fahrenheit = unit("degF").from_canonical(mark.canonical)
    return abs(fahrenheit) * GOOD_TO * unit("delta_degF").factor


def _shows(reading: Reading) -> str:
    mark = _mark(reading)
    if reading.bound == "at_least":
        least = mark.unit.from_canonical(mark.canonical - _error(mark))
        return f"at least {rounded_down(least, 1)} {mark.unit.label}"
    most = mark.unit.from_canonical(mark.canonical + _error(mark))
    return f"at most {rounded_up(most, 1)} {mark.unit.label}"


def _wanted(requirement: Requirement) -> str:
    melts = (
        f"one that melts at {show(requirement.at_least)} or above"
        if requirement.at_least
        else "one that melts"
    )
    holds = (
        f"one that holds at {show(requirement.at_most)} or below"
        if requirement.at_most
        else "a hotter one that holds"
    )
    return f"at one place {melts} and {holds} show it together"


def _fold(place: str | None) -> str:
    return " ".join((place or "").split()).casefold()
