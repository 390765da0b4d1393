"""By when the arc must start after a preheat reading, as a time of day that stands still. No widgets here."""

from datetime import datetime, timedelta
from fractions import Fraction

from traveler.quantity.parse import stored
from traveler.report.words import Object, stamp

GOOD_FOR_AT_C = 25
"""What a requirement says a reading is good for is worked out for one so many degrees above the minimum."""
WHOLE_STEP_S = 5
COMPLIES = ("met", "conditional")


def arc_lines(step: Object) -> list[str]:
    """A sentence for each requirement of a step that is complied with by readings which do not stay good."""
    found = (_sentence(requirement) for requirement in step["requirements"])
    return [] if step["state"] == "accepted" else [sentence for sentence in found if sentence]


def convention_words(requirement: Object) -> str:
    """For which reading the seconds hold, and what becomes of them for another; empty where a reading stays good."""
    good_for_s = requirement["evidence"].get("good_for_s")
    if not good_for_s:
        return ""
    return (
        f"A reading stays good for about {good_for_s} s where it is {GOOD_FOR_AT_C} C° (45 F°) above the minimum, in "
        "proportion less where it is nearer, not at all where it is at the minimum; in still air (w: the working)"
    )


def _sentence(requirement: Object) -> str:
    good_for_s = requirement["evidence"].get("good_for_s")
    reading = _last_complying(requirement)
    if not good_for_s or reading is None:
        return ""
    seconds = seconds_left(reading, requirement["limit"]["at_least"], good_for_s)
    number = reading["reading"]
    if not seconds:
        return f"Start the arc at once or read again: reading {number} is hardly above the minimum."
    by = datetime.fromisoformat(reading["happened_at"]) + timedelta(seconds=seconds)
    return (
        f"Start the arc by {stamp(by.isoformat())[11:]}, {seconds} s after reading {number}, or read again."
    )


def _last_complying(requirement: Object) -> Object | None:
    """The reading of the present attempt that was taken last, where the requirement is complied with."""
    if requirement["verdict"] not in COMPLIES:
        return None
    standing = [
        reading
        for reading in requirement["readings"]
        if not reading["superseded"]
        and reading["attempt"] == requirement["attempts"]
        and reading["verdict"] in COMPLIES
    ]
    return max(standing, key=lambda r: datetime.fromisoformat(r["happened_at"]), default=None)


def seconds_left(reading: Object, minimum: Object, good_for_s: int) -> int:
    """Seconds that a reading stays good, down to a multiple of 5, from ``good_for_s`` at 25 C° above the minimum.

    In proportion to its height above the minimum: metal cools ever more slowly as it nears the minimum, so a straight
    line from nothing at the minimum is the shorter answer. Higher readings are given no more.
    """
    above_c = (
        stored(reading["value"], reading["unit"]).canonical
        - stored(minimum["value"], minimum["unit"]).canonical
    )
    share = min(max(above_c / GOOD_FOR_AT_C, Fraction(0)), Fraction(1))
    return int(good_for_s * share) // WHOLE_STEP_S * WHOLE_STEP_S
