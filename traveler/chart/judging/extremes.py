"""The hottest reading, the furnace when the part goes in, and the part when it comes out into still air."""

from bisect import bisect_right
from collections.abc import Iterator
from fractions import Fraction
from math import inf, isnan

from traveler.chart.judging.asked import Asked, number_in, short
from traveler.chart.judging.exact import exact, greatest_float, least_float, value_at
from traveler.chart.judging.rows import Rows, Trace
from traveler.chart.judging.soak import Piece
from traveler.chart.judging.verdicts import MOST_DRAWN, Finding, against, told, worst_of
from traveler.chart.model import Channel, Criterion, Fault, Limit, Stretch, Verdict

HIGHEST = "highest temperature"
LOADING = "temperature at loading"
EXIT = "exit into still air"
UNMARKED = "no exit marked: read where the record ends"
NO_CEILING = "no highest temperature is given: for information"


def judge_highest(asked: Asked, rows: Rows) -> Finding:
    """One reading of one couple above the ceiling is not met, whatever the soak; without one for information."""
    hottest = max(rows.hottest)
    if hottest == -inf:
        return Finding(_highest(asked, None, None, None, "not shown", ("no couple reads anything",)))
    row = rows.hottest.index(hottest)
    couple, worst, at_s = rows.hottest_couple(row), exact(hottest), rows.times[row]
    ceiling = asked.soak_max
    if ceiling is None:
        return Finding(_highest(asked, worst, couple, at_s, "met", (NO_CEILING,)))
    verdict = against(ceiling - worst, asked.uncertainty)
    reasons: list[str] = []
    faults: list[Fault] = []
    if verdict == "not met":
        faults = list(_above_ceiling(asked, rows, ceiling, reasons))
    if verdict == "conditional":
        reasons.append(asked.too_near())
    unseen = []
    if rows.hidden:
        verdict = worst_of((verdict, "not shown"))
    for index, first, last in rows.hidden[:MOST_DRAWN]:
        name, span = rows.couples[index].name, Stretch(rows.times[first], rows.times[last])
        unseen.append(f"{name} is not seen from {asked.stamp(span.start_s)} to {asked.stamp(span.end_s)}")
        faults.append(Fault(HIGHEST, name, span, f"{name} not seen"))
    reasons += told(unseen, len(rows.hidden), "such stretches")
    return Finding(_highest(asked, worst, couple, at_s, verdict, tuple(reasons)), tuple(faults))


def _highest(
    asked: Asked,
    worst: Fraction | None,
    couple: str | None,
    at_s: float | None,
    verdict: Verdict,
    reasons: tuple[str, ...],
) -> Criterion:
    limit, ceiling = asked.limits.soak_max, asked.soak_max
    return Criterion(
        criterion=HIGHEST,
        bound="at_most" if limit else None,
        limit=limit,
        worst=worst,
        unit=asked.unit,
        couple=couple,
        at_s=at_s,
        margin=None if ceiling is None or worst is None else ceiling - worst,
        verdict=verdict,
        reasons=reasons,
        decides=limit is not None,
    )


def _above_ceiling(asked: Asked, rows: Rows, ceiling: Fraction, reasons: list[str]) -> Iterator[Fault]:
    """A fault a couple; adds to ``reasons`` since when and for how long any couple was above."""
    most = greatest_float(ceiling)
    spells: list[tuple[float, float]] = []
    for index, couple in enumerate(rows.couples):
        trace = rows.trace(index)
        above = list(_spells_above(trace, most)) if max(trace.values, default=-inf) > most else []
        if above:
            lasted = sum(end - start for start, end in above)
            words = f"{couple.name} above {asked.degrees(ceiling)} for {_minutes(lasted)}"
            yield Fault(HIGHEST, couple.name, Stretch(above[0][0], above[-1][1]), words)
        spells += above
    spells.sort()
    together, until = 0.0, -inf
    for start, end in spells:
        together += max(end - max(start, until), 0.0)
        until = max(until, end)
    reasons.append(f"above it for {_minutes(together)}, first at {asked.stamp(spells[0][0])}")


def _minutes(seconds: float) -> str:
    return f"{short(Fraction(seconds) / 60, up=True)} min"


def _spells_above(trace: Trace, most: float) -> Iterator[tuple[float, float]]:
    """From when to when a couple was above a level [s]."""
    times, values = trace.times, trace.values
    flags, stop = bytes(map(most.__lt__, values)), 0
    while (first := flags.find(1, stop)) >= 0:
        stop = flags.find(0, first)
        stop = len(flags) if stop < 0 else stop
        start, end = times[first], times[stop - 1]
        if first > 0 and first - 1 not in trace.gaps:
            share = (most - values[first - 1]) / (values[first] - values[first - 1])
            start = times[first - 1] + share * (times[first] - times[first - 1])
        if stop < len(times) and stop - 1 not in trace.gaps:
            share = (most - values[stop - 1]) / (values[stop] - values[stop - 1])
            end = times[stop - 1] + share * (times[stop] - times[stop - 1])
        yield start, end


def judge_loading(asked: Asked, rows: Rows, loaded_s: float | None, max_gap_s: float) -> Finding | None:
    """The hottest furnace couple at the marked time; None where the rule prints no limit.

    Without a furnace couple or a mark nothing can show it, and it does not decide. A mark after the part was at the
    soak temperature is no loading, and shows nothing.
    """
    limit, furnaces = asked.limits.loading, asked.chart.of_role("furnace")
    if limit is None:
        return None
    if not furnaces or loaded_s is None:
        reason = "no loading marked" if furnaces else "no furnace couple"
        return Finding(
            _at_moment(asked, LOADING, limit, None, loaded_s, "not shown", (reason,), decides=False)
        )
    readings = [
        (reading, furnace.name)
        for furnace in furnaces
        if (reading := _reading_at(asked, furnace, exact(loaded_s), max_gap_s)) is not None
    ]
    if len(readings) < len(furnaces):
        reason = f"a furnace couple shows nothing at {asked.stamp(loaded_s)}"
        return _moment(asked, LOADING, limit, max(readings, default=None), loaded_s, reason)
    doubt = None
    if asked.soak_min is not None and max(
        rows.hottest[: bisect_right(rows.times, loaded_s)], default=-inf
    ) >= least_float(asked.soak_min):
        doubt = "a couple of the part is at the soak temperature before the part is marked as loaded"
    return _moment(asked, LOADING, limit, max(readings), loaded_s, doubt)


def _reading_at(asked: Asked, channel: Channel, at_s: Fraction, max_gap_s: float) -> Fraction | None:
    """The reading between two good readings that are not too far apart."""
    times, values = asked.chart.times_s, channel.values
    after = bisect_right(times, float(at_s))
    if not 0 < after <= len(times) or at_s > exact(times[-1]):
        return None
    if exact(times[after - 1]) == at_s:
        return None if isnan(values[after - 1]) else exact(values[after - 1])
    if isnan(values[after - 1]) or isnan(values[after]) or times[after] - times[after - 1] > max_gap_s:
        return None
    return value_at(times, values, after - 1, at_s)


def judge_exit(asked: Asked, rows: Rows, pieces: list[Piece], out_s: float | None) -> Finding | None:
    """The hottest couple when the part comes out, or at the end of the record where nobody marked that.

    A part that is seen to cool to the threshold where it was is met: how fast it did is the cooling rate. Where the
    rule limits none, only a mark tells when it came out. None without a threshold.
    """
    limit, threshold = asked.limits.threshold, asked.threshold
    if limit is None or threshold is None:
        return None
    at_s = rows.times[-1] if out_s is None else out_s
    if out_s is None and asked.limits.cooling is None:
        reason = "no exit marked: nothing tells when the part came out or was uncovered"
        return _moment(asked, EXIT, limit, None, at_s, reason)
    readings = rows.readings_at(exact(at_s))
    hottest = max(((reading, name) for name, reading in readings.items()), default=None)
    doubt = None
    if hottest is None or len(readings) < len(rows.couples):
        doubt = f"not all couples are seen at {asked.stamp(at_s)}"
    elif pieces and pieces[-1].end.at_s > exact(at_s):
        doubt = "the part was marked as out before its soak ended"
    elif out_s is None and hottest[0] > threshold:
        # Where it went from here nobody knows: the record ends too early, which is not the same as out too hot.
        reason = f"no exit marked, and the record ends at {asked.degrees(hottest[0])}"
        return _moment(asked, EXIT, limit, None, at_s, reason)
    elif asked.rates_apply and max(rows.hottest[: bisect_right(rows.times, at_s)]) <= greatest_float(
        threshold
    ):
        doubt = "no couple is seen above the threshold before it"
    elif max(rows.hottest[bisect_right(rows.times, at_s) :], default=-inf) > greatest_float(threshold):
        doubt = "a couple is above the threshold after the part was marked as out"
    return _moment(asked, EXIT, limit, hottest, at_s, doubt, UNMARKED if out_s is None else None)


def _moment(
    asked: Asked,
    name: str,
    limit: Limit,
    reading: tuple[Fraction, str] | None,
    at_s: float,
    doubt: str | None,
    remark: str | None = None,
) -> Finding:
    """A reading at one moment against its limit, at best not shown where something is in doubt."""
    verdict: Verdict = "not shown" if doubt else "met"
    if reading is not None:
        margin = number_in(limit, asked.unit) - reading[0]
        verdict = worst_of((verdict, against(margin, asked.uncertainty)))
    too_near = asked.too_near() if verdict == "conditional" else None
    reasons = tuple(reason for reason in (doubt or remark, too_near) if reason)
    faults: tuple[Fault, ...] = ()
    if verdict in ("not met", "not shown"):
        words = f"{name} not shown" if reading is None else f"{reading[1]} at {asked.degrees(reading[0])}"
        words = f"{words}: {doubt}" if doubt else words
        faults = (Fault(name, reading[1] if reading else None, Stretch(at_s, at_s), words),)
    return Finding(_at_moment(asked, name, limit, reading, at_s, verdict, reasons), faults)


def _at_moment(
    asked: Asked,
    name: str,
    limit: Limit,
    reading: tuple[Fraction, str] | None,
    at_s: float | None,
    verdict: Verdict,
    reasons: tuple[str, ...],
    decides: bool = True,
) -> Criterion:
    return Criterion(
        criterion=name,
        bound="at_most",
        limit=limit,
        worst=reading[0] if reading else None,
        unit=asked.unit,
        couple=reading[1] if reading else None,
        at_s=at_s,
        margin=number_in(limit, asked.unit) - reading[0] if reading else None,
        verdict=verdict,
        reasons=reasons,
        decides=decides,
    )
