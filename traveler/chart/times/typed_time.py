"""A time on a chart as a person types it: on the chart's own clock, as an instant, or elapsed."""

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta, timezone

from traveler.chart.model import Chart
from traveler.errors import BadInput
from traveler.quantity.parse import QuantityError, echo, parse_quantity
from traveler.quantity.units import Kind

_CLOCK = re.compile(
    r"(?:(?P<date>\d{4}-\d\d-\d\d)(?:[Tt]| +))?(?P<hour>\d{1,4}):(?P<minute>\d\d)(?::(?P<second>\d\d(?:\.\d{1,6})?))?"
    r" ?(?P<offset>[Zz]|[+\-\u2212]\d\d:?\d\d)?",
    re.ASCII,
)
_PRINTED_TO_S = (
    1.0  # stamps are printed in whole seconds, so that one typed back may lie that far beside the row
)


def seconds_at(chart: Chart, text: str) -> float:
    """Seconds from the first row of the chart to the time that was typed.

    ISO 8601, the chart's own clock ("02:50" where it comes once, "2026-10-25 02:50", with "+02:00" where the clock was
    changed), or elapsed time with its unit ("242 min"); on a chart that has no clock "4:02:00" is elapsed, too.
    Elapsed time counts from the first row. Raises BadInput for anything else, a time that the clock shows twice or
    skips, and one outside the chart.
    """
    typed = text.strip()
    found = list(dict.fromkeys(_moments(chart, typed)))
    end = chart.times_s[-1]
    inside = [seconds for seconds in found if -_PRINTED_TO_S < seconds < end + _PRINTED_TO_S]
    if len(inside) > 1:
        first, second = (chart.stamp(seconds) for seconds in inside[:2])
        raise BadInput(
            f'"{echo(typed)}" is ambiguous on this chart: expected one of its times, such as {first} or {second}'
        )
    if not found:
        raise BadInput(
            f'"{echo(typed)}" is skipped by the clock of this chart: expected a time that it shows'
        )
    if not inside:
        raise BadInput(
            f'"{echo(typed)}" lies outside the chart: expected a time from {chart.stamp(0)} to {chart.stamp(end)}'
        )
    return min(max(inside[0], 0.0), end)


def _moments(chart: Chart, typed: str) -> Iterator[float]:
    """Every moment that the text may mean [s], some perhaps outside the chart."""
    clock = _CLOCK.fullmatch(typed)
    if clock is None:
        yield _elapsed(chart, typed)
        return
    hours, minutes, seconds = int(clock["hour"]), int(clock["minute"]), float(clock["second"] or 0)
    of_day = timedelta(hours=hours, minutes=minutes, seconds=seconds)
    if minutes > 59 or seconds >= 60:
        raise _unreadable(chart, typed)
    start = chart.started_at or chart.clock_start
    bare = not clock["date"] and not clock["offset"]
    if start is None and bare:
        yield of_day.total_seconds()
        return
    if start is None:
        raise BadInput(f'"{echo(typed)}": the chart counts elapsed time; {_expected(chart)}')
    if hours > 23:
        raise _unreadable(chart, typed)
    if isinstance(start, time):
        if not bare:
            raise BadInput(
                f'"{echo(typed)}": the clock of the chart has no date and no zone; {_expected(chart)}'
            )
        start = datetime.combine(date(2000, 1, 1), start)
    if start.tzinfo is None and clock["offset"]:
        raise BadInput(f'"{echo(typed)}": the zone of the chart\'s clock is not stated; {_expected(chart)}')
    for day in _days(chart, typed, clock["date"], start):
        yield from _on(start, datetime.combine(day, time()) + of_day, clock["offset"])


def _days(chart: Chart, typed: str, written: str | None, start: datetime) -> Iterator[date]:
    if written is None:
        count = int(chart.times_s[-1] // 86400) + 2
        yield from (start.date() + timedelta(days=number) for number in range(-1, count + 1))
        return
    try:
        yield date.fromisoformat(written)
    except ValueError:
        raise _unreadable(chart, typed) from None


def _on(start: datetime, wall: datetime, offset: str | None) -> Iterator[float]:
    """Seconds from the start to the moments at which its clock shows ``wall``: none, one, or two on one night."""
    zone = start.tzinfo
    if zone is None:
        yield (wall - start).total_seconds()
    elif offset is not None:
        yield (wall.replace(tzinfo=_offset(offset)) - start.astimezone(UTC)).total_seconds()
    else:
        for fold in (0, 1):
            moment = wall.replace(tzinfo=zone, fold=fold).astimezone(UTC)
            if moment.astimezone(zone).replace(tzinfo=None) == wall:
                yield (moment - start.astimezone(UTC)).total_seconds()


def _offset(text: str) -> timezone:
    if text in "Zz":
        return UTC
    size = timedelta(hours=int(text[1:3]), minutes=int(text[-2:]))
    if size >= timedelta(days=1):
        raise BadInput(f'"{echo(text)}" is no offset from UTC: expected one such as +01:00')
    return timezone(size if text[0] == "+" else -size)


def _elapsed(chart: Chart, typed: str) -> float:
    try:
        return float(parse_quantity(typed, Kind.TIME).canonical)
    except QuantityError:
        raise _unreadable(chart, typed) from None


def _unreadable(chart: Chart, typed: str) -> BadInput:
    return BadInput(f'"{echo(typed)}" is no time of this chart: {_expected(chart)}')


def _expected(chart: Chart) -> str:
    return f"expected a time such as {chart.stamp(0)}, or elapsed time with its unit such as 30 min"
