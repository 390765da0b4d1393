"""The time until the arc must start, counted down by two clocks: the shorter answer is shown. No widgets here."""

from datetime import datetime

from traveler.job.course import HEAT_MORE, READ_PREHEAT_AGAIN
from traveler.job.heat_clock import HeatClock
from traveler.report.words import stamp

EACH_SECOND_FROM_S = 120
"""Above so many seconds the countdown goes in steps, to spare a slow line."""
STEP_S = 5
NO_TIME = f"No time: {HEAT_MORE}"
OUT = f"Time is out: {READ_PREHEAT_AGAIN}"
SET_BACK = "The clock was set back: read the preheat again"


class Countdown:
    """Follows the clock of the heat by the time of day and by seconds that nobody can set.

    The time of day goes on while the machine sleeps, the other clock cannot be set back: the one that has less left
    counts. Once they disagree about more time than there was, no time is shown until the metal is read again.
    """

    def __init__(self) -> None:
        self._clock: HeatClock | None = None
        self._seen_s = 0.0
        self._left_then_s = 0
        self._doubted = False

    def follow(self, clock: HeatClock | None, now: datetime, steady_s: float) -> None:
        """Count for ``clock``; begins anew only where the metal was read again."""
        known = self._clock
        self._clock = clock
        if clock is None or (
            known
            and (known.reading, known.taken, known.seconds) == (clock.reading, clock.taken, clock.seconds)
        ):
            return
        self._seen_s, self._left_then_s = steady_s, clock.left_s(now)
        self._doubted = False

    @property
    def runs(self) -> bool:
        """Whether there is a clock at all."""
        return self._clock is not None

    def left_s(self, now: datetime, steady_s: float) -> int:
        """Whole seconds left; none where they ran out or nobody can say."""
        if self._clock is None:
            return 0
        steady_left_s = max(self._left_then_s - (steady_s - self._seen_s), 0.0)
        left_s = self._clock.left_s(now)
        if self._clock.set_back(now) or left_s > steady_left_s + STEP_S:
            self._doubted = True
        return 0 if self._doubted else int(min(left_s, steady_left_s))

    def shown_s(self, now: datetime, steady_s: float) -> int:
        """The seconds as they are shown: in steps while there are many."""
        left_s = self.left_s(now, steady_s)
        return left_s if left_s <= EACH_SECOND_FROM_S else left_s // STEP_S * STEP_S

    def words(self, now: datetime, steady_s: float) -> str:
        """ "Arc by 14:03:35, 0:35 left", or what to do now; empty without a clock."""
        if self._clock is None:
            return ""
        left_s = self.shown_s(now, steady_s)
        if self._doubted:
            return SET_BACK
        if not left_s:
            return NO_TIME if self._clock.gives_no_time else OUT
        by = self._clock.until.astimezone(now.tzinfo).isoformat(timespec="seconds")
        return f"Arc by {stamp(by)[11:19]}, {minutes(left_s)} left"


def minutes(seconds: int) -> str:
    """ "2:05"."""
    return f"{seconds // 60}:{seconds % 60:02d}"
