"""How often a secret may be tried, and when again. Pure: what is counted is handed in and out.

After FREE failures each further try waits, twice as long each time. NIST SP 800-63B, section on rate limiting, names
such a growing wait (30 s up to an hour) as one way to keep to 100 failures [seen, draft of 2023].

A clock that was set back never shortens a wait and cannot stretch it without end either: kept is when the wait began
and how long it is, and where the clock stands before that beginning, the wait begins anew at the clock's time.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

FREE = 5
FIRST_WAIT_S = 30
LONGEST_WAIT_S = 3600


@dataclass(frozen=True, slots=True)
class Tries:
    """Failures since the last good entry, and the wait that the last of them began; 0 and None for no wait."""

    failures: int = 0
    wait_s: int = 0
    wait_from: datetime | None = None


def one_more(tries: Tries, now: datetime) -> tuple[Tries, bool]:
    """The tries with one more counted as a failure, and True; while a wait lasts, the tries as they are, and False.

    Counted before the secret is compared: killing the program in between wins no uncounted try.
    """
    if tries.wait_from is not None and now < tries.wait_from:
        tries = Tries(tries.failures, tries.wait_s, now)
    until = end_of_wait(tries)
    if until is not None and now < until:
        return tries, False
    failures = tries.failures + 1
    wait_s = _wait_s(failures)
    return Tries(failures, wait_s, now if wait_s else None), True


def end_of_wait(tries: Tries) -> datetime | None:
    """When the next try is admitted; None where nothing has to be waited for."""
    return None if tries.wait_from is None else tries.wait_from + timedelta(seconds=tries.wait_s)


def _wait_s(failures: int) -> int:
    if failures < FREE:
        return 0
    # The shift is held down: an altered count would ask for a number without end.
    return min(FIRST_WAIT_S << min(failures - FREE, 16), LONGEST_WAIT_S)
