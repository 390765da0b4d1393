"""Times on a recorded chart: clock times where the file has them, hours and minutes from the start otherwise."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from math import ceil, floor

MINUTE, HOUR, DAY = 60, 3600, 86400
_STEPS_S = (
    *(1, 2, 5, 10, 15, 30),
    *(minutes * MINUTE for minutes in (1, 2, 5, 10, 15, 20, 30)),
    *(hours * HOUR for hours in (1, 2, 3, 4, 6, 12)),
)


@dataclass(frozen=True, slots=True)
class ChartClock:
    """The clock of one chart; ``started_at`` is the instant of its first row, None where the file has none."""

    started_at: datetime | None

    def words(self, seconds: float, to_the_second: bool = False) -> str:
        """A time on the chart: "02:30" on the clock, "2:30" from the start, with seconds where wanted."""
        whole = round(seconds)
        if self.started_at is not None:
            return f"{self.started_at + timedelta(seconds=whole):{'%H:%M:%S' if to_the_second else '%H:%M'}}"
        sign, minutes = "-" * (whole < 0), abs(whole) // MINUTE
        second = f":{abs(whole) % MINUTE:02d}" if to_the_second else ""
        return f"{sign}{minutes // 60}:{minutes % 60:02d}{second}"

    def span_words(self, from_s: float, to_s: float) -> str:
        """ "02:42:00 to 03:12:00", or one time where both are the same."""
        first, last = self.words(from_s, to_the_second=True), self.words(to_s, to_the_second=True)
        return first if first == last else f"{first} to {last}"

    def ticks(self, low_s: float, high_s: float, most: int) -> list[tuple[float, str]]:
        """Round times within the stretch with their labels, at most about ``most`` of them."""
        step = next((step for step in _STEPS_S if (high_s - low_s) / step <= most), 0)
        if not step:
            step = DAY * ceil((high_s - low_s) / DAY / most)
        shift = self._since_midnight_s()
        places = range(ceil((low_s + shift) / step), floor((high_s + shift) / step) + 1)
        return [(place * step - shift, self.words(place * step - shift, step < MINUTE)) for place in places]

    def axis_words(self) -> str:
        """What the axis of time shows."""
        if self.started_at is None:
            return "time from the start, h:min"
        offset = self.started_at.strftime("%z")
        zone = f" {offset[:3]}:{offset[3:5]}" if offset else ""
        return f"clock time{zone}, from {self.started_at:%Y-%m-%d %H:%M:%S}"

    def _since_midnight_s(self) -> float:
        if self.started_at is None:
            return 0.0
        midnight = self.started_at.replace(hour=0, minute=0, second=0, microsecond=0)
        return (self.started_at - midnight).total_seconds()


def clock_of(started_at: str | None) -> ChartClock:
    """The clock of a chart object, which has its start as ISO 8601 or not at all."""
    return ChartClock(None if started_at is None else datetime.fromisoformat(started_at))
