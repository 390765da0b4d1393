"""By when the arc must start after a preheat reading, as a time of day that stands still. No widgets here."""

from datetime import datetime, timedelta

from traveler.job.heat_clock import GOOD_FOR_AT_C, seconds_good
from traveler.quantity.parse import stored
from traveler.report.words import Object, stamp

__all__ = ["COMPLIES", "GOOD_FOR_AT_C", "arc_lines", "convention_words", "seconds_left"]

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
    """Seconds that a reading stays good, as ``seconds_good`` of ``traveler.job.heat_clock``."""
    return seconds_good(
        stored(reading["value"], reading["unit"]), stored(minimum["value"], minimum["unit"]), good_for_s
    )
