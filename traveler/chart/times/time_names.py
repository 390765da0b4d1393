"""What the name of a time column says: a unit, how the digits are written, elapsed time or a clock."""

import re
from typing import Final, Literal

Unit = Literal["s", "min", "h", "ms", "d"]

_UNITS: Final[dict[str, Unit]] = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds", "sek", "sekunde", "sekunden"), "s"),
    **dict.fromkeys(("min", "mins", "minute", "minutes", "minuten"), "min"),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours", "std", "stunde", "stunden"), "h"),
    **dict.fromkeys(("ms", "msec", "millisecond", "milliseconds", "millisekunden"), "ms"),
    **dict.fromkeys(("d", "day", "days", "tag", "tage"), "d"),
}
_ELAPSED: Final = {"elapsed", "duration", "runtime", "relative", "laufzeit", "dauer", "verstrichen"}
_CLOCK: Final = {"clock", "uhrzeit", "uhr"}
_WORD: Final = re.compile(r"[A-Z]?[^\W\d_A-Z]+|[A-Z]+")


def unit_of_time(name: str) -> Unit | None:
    """The unit that stands in the name as a word: "Time [min]", "t/s", "ElapsedSec"; None for none and for two."""
    found = {_UNITS[word] for word in _words(name) if word in _UNITS}
    return found.pop() if len(found) == 1 else None


def says_elapsed(name: str) -> bool:
    """Whether the name says that the time counts from a start."""
    return not _ELAPSED.isdisjoint(_words(name))


def says_clock(name: str) -> bool:
    """Whether the name says that a clock was read."""
    return not _CLOCK.isdisjoint(_words(name))


def written_form(name: str) -> Literal["h:mm", "mm:ss"] | None:
    """How two numbers with a colon are written, where the name says it: "Time (hh:mm)", "t mm:ss"."""
    plain = name.casefold()
    if re.search(r"(?<![a-z])hh?:mm?(?![a-z:])", plain):
        return "h:mm"
    return "mm:ss" if re.search(r"(?<![a-z:])m(?:m|in)?:s(?:s|ec|ek)?(?![a-z:])", plain) else None


def _words(name: str) -> list[str]:
    return [word.casefold() for word in _WORD.findall(name)]
