"""From the columns of a chart to the couples that can be judged, with everything said that was wrong with them.

What a reading does not show stays unknown: only holes no longer than the longest gap are filled, and only a spare
that was declared stands in for a couple that failed.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from heapq import merge
from itertools import islice
from math import isnan

from traveler.chart.cleaning.distrust import distrusted
from traveler.chart.cleaning.holes import (
    Column,
    Hole,
    Unknown,
    column,
    duration,
    gap_reasons,
    reasons,
    row_gaps,
    unknown_rows,
)
from traveler.chart.cleaning.readings import DEGREES, readings
from traveler.chart.cleaning.suspicion import suspicions
from traveler.chart.couples import Couple, Usable
from traveler.chart.model import Channel, Chart, Criterion, Fault, Options, Stretch
from traveler.errors import BadInput

CRITERION = "couples"
USUAL_INTERVALS, LONGEST_GAP_S = 2.0, 600.0
"""Rows further apart than so many usual intervals, or than this, show nothing between them unless a person says so."""

SAID_ONE_BY_ONE = 12
MANY_HOLES = 10


def usable(chart: Chart, options: Options) -> Usable:
    """The required couples of a chart, cleaned of their troubles, and the criterion "couples".

    Rows further apart than the longest gap show nothing between them. Missing readings are filled along the straight
    line where the good ones beside them are no further apart than that, and are unknown elsewhere. What a couple
    shows after a jump, and while it stands still although others move, is unknown. A declared spare takes a failed
    couple's place from its last good reading on, if it is good there itself. The criterion is met where every
    required couple is known over the whole chart, but for the time after the part was marked as out, when couples are
    taken off, and for a couple that is plugged in before the part was marked as loaded.

    Raises BadInput where the chart has no part couple.
    """
    parts, spares = chart.of_role("part"), chart.of_role("spare")
    if not parts:
        raise BadInput(
            "the chart has no couple on the part; expected the names of the required ones (--couples)"
        )
    longest_s = longest_gap_s(chart, options)
    columns = _columns(chart, parts, spares, longest_s)
    waiting = list(zip(spares, columns[len(parts) :], strict=True))
    stood_in: list[str] = []
    required = []
    for part, own in zip(parts, columns, strict=False):
        declared = [spare for channel, spare in waiting if channel.spare_for == part.name]
        required.append(_replaced(part.name, own, declared, chart, stood_in))
    gaps = row_gaps(chart.times_s, longest_s)
    couples = tuple(
        Couple(
            part.name,
            shown.values,
            unknown_rows(shown.holes, gaps),
            part.series if shown.values is part.values else None,
        )
        for part, shown in zip(parts, required, strict=True)
    )
    counting = [
        replace(shown, holes=between_marks(shown.holes, chart.times_s, options)) for shown in required
    ]
    counting_gaps = [
        row for row, _ in between_marks([(row, row + 1) for row in gaps], chart.times_s, options)
    ]
    unknown = _all_unknown(parts, counting, counting_gaps, chart, longest_s)
    notes = [
        *_about_the_gap(chart, options, longest_s, required),
        *_about_filled(required, chart),
        *_about_idle_spares(spares, parts),
        *suspicions(chart, couples),
    ]
    criterion = _criterion(chart, unknown, stood_in)
    return Usable(couples, criterion, tuple(_faults(chart, unknown)), (*stood_in, *notes), longest_s)


def longest_gap_s(chart: Chart, options: Options) -> float:
    """Readings further apart show nothing between them [s]: as stated, or twice the usual interval up to 10 min.

    Common practice, no published source.
    """
    if options.max_gap_s is not None:
        return options.max_gap_s
    return min(USUAL_INTERVALS * chart.interval_s, LONGEST_GAP_S)


def between_marks(holes: Sequence[Hole], times: Sequence[float], options: Options) -> list[Hole]:
    """Without what lies after the part was marked as out, and what reaches from the first row to its loading."""
    loaded_s, out_s = options.loaded_s, options.out_s
    return [
        (first, last)
        for first, last in holes
        if not (
            (loaded_s is not None and first == 0 and times[last] <= loaded_s)
            or (out_s is not None and times[first] >= out_s)
        )
    ]


def _columns(
    chart: Chart, parts: Sequence[Channel], spares: Sequence[Channel], longest_s: float
) -> list[Column]:
    channels = (*parts, *spares)
    found = [readings(chart.times_s, channel) for channel in channels]
    distrust = distrusted(found[: len(parts)], found[len(parts) :], DEGREES[chart.unit])
    return [
        column(channel, its_readings, its_distrust, chart, longest_s)
        for channel, its_readings, its_distrust in zip(channels, found, distrust, strict=True)
    ]


def _replaced(name: str, own: Column, spares: Sequence[Column], chart: Chart, said: list[str]) -> Column:
    """The couple, from where it failed on by the first of its spares that is good there, and so on."""
    shown = own
    for spare in spares:
        if not shown.holes:
            break
        first = shown.holes[0][0]
        failed = next(reasons(name, shown, chart)).words
        if not (spare.good_at(first) and spare.good_at(first + 1)):
            said.append(
                f"{failed}; {spare.told_by} shows nothing there either and cannot stand in for {name}"
            )
            continue
        start = f"from {chart.stamp(chart.times_s[first])} on" if shown.good_at(first) else "from the start"
        said.append(
            f"{failed}; {spare.told_by} stands in for {name} {start}{_beside(shown, spare, first, chart)}"
        )
        own_rows = first + 1 if shown.good_at(first) else first
        shown = Column(
            spare.told_by,
            shown.values[:own_rows] + spare.values[own_rows:],
            spare.distrusted,
            [hole for hole in spare.holes if hole[0] > first],
            [hole for hole in shown.filled if hole[1] <= first]
            + [hole for hole in spare.filled if hole[1] > first],
        )
    return shown


def _beside(shown: Column, spare: Column, row: int, chart: Chart) -> str:
    """By how much the spare differs at the last good reading: that much of a step is the change of couple."""
    if not shown.good_at(row):
        return ""
    apart = spare.values[row] - shown.values[row]
    side = "above" if apart >= 0 else "below"
    return f", where it reads {abs(apart):.4g} {DEGREES[chart.unit].span_label} {side} it"


@dataclass(frozen=True, slots=True)
class _Unknowns:
    """Everything unknown: the first stretches in words, how many more there are, and where these lie [s]."""

    said: Sequence[Unknown]
    more: int
    rest: Stretch | None


def _all_unknown(
    parts: Sequence[Channel], required: Sequence[Column], gaps: Sequence[int], chart: Chart, longest_s: float
) -> _Unknowns:
    holes = [reasons(part.name, shown, chart) for part, shown in zip(parts, required, strict=True)]
    # A file may have a hole in every other row: words are made for those that are said.
    in_order = merge(*holes, gap_reasons(gaps, chart, longest_s), key=lambda each: each.first)
    said = list(islice(in_order, SAID_ONE_BY_ONE))
    following = next(in_order, None)
    if following is None:
        return _Unknowns(said, 0, None)
    count = sum(len(shown.holes) for shown in required) + len(gaps)
    lasts = [shown.holes[-1][1] for shown in required if shown.holes] + [row + 1 for row in gaps[-1:]]
    rest = Stretch(chart.times_s[following.first], chart.times_s[max(lasts)])
    return _Unknowns(said, count - len(said), rest)


def _criterion(chart: Chart, unknown: _Unknowns, stood_in: Sequence[str]) -> Criterion:
    first = unknown.said[0] if unknown.said else None
    words = [each.words for each in unknown.said]
    if unknown.more:
        words.append(f"and {unknown.more} more such stretches")
    if len(chart.times_s) < 2:
        words.append("one row shows no time")
    return Criterion(
        criterion=CRITERION,
        bound=None,
        limit=None,
        worst=None,
        unit=None,
        couple=first.couple if first else None,
        at_s=chart.times_s[first.first] if first else None,
        margin=None,
        verdict="not shown" if words else "met",
        reasons=(*words, *stood_in),
    )


def _faults(chart: Chart, unknown: _Unknowns) -> Iterator[Fault]:
    for each in unknown.said:
        span = Stretch(chart.times_s[each.first], chart.times_s[each.last])
        yield Fault(CRITERION, each.couple, span, each.words)
    if unknown.rest is not None:
        yield Fault(CRITERION, None, unknown.rest, f"{unknown.more} more stretches of which nothing is known")


def _about_the_gap(
    chart: Chart, options: Options, longest_s: float, required: Sequence[Column]
) -> Iterator[str]:
    usual_s = longest_gap_s(chart, Options())
    if options.max_gap_s is not None and longest_s > usual_s:
        yield (
            f"readings up to {duration(longest_s)} apart are joined, as stated; "
            f"unless stated it would be {duration(usual_s)}"
        )
    elif chart.interval_s > longest_s:
        yield (
            f"the rows are {duration(chart.interval_s)} apart, and more than {duration(longest_s)} between two rows "
            "shows nothing; a longer gap has to be stated"
        )
    for shown in required:
        read = len(shown.values) - sum(map(isnan, shown.values)) if len(shown.holes) > MANY_HOLES else 0
        if 0 < read <= 2 * len(shown.holes):
            yield (
                f"{shown.told_by} has a reading in one row of {len(shown.values) / read:.0f} only; where the logger "
                "works so, a longer gap has to be stated"
            )


def _about_filled(required: Iterable[Column], chart: Chart) -> Iterator[str]:
    for shown in required:
        if shown.filled:
            missing = sum(last - first - 1 for first, last in shown.filled)
            longest_s = max(chart.times_s[last] - chart.times_s[first] for first, last in shown.filled)
            readings_are = "1 missing reading is" if missing == 1 else f"{missing} missing readings are"
            yield (
                f"{shown.told_by}: {readings_are} filled in along the straight line between the good ones beside, "
                f"which are at most {duration(longest_s)} apart"
            )


def _about_idle_spares(spares: Iterable[Channel], parts: Iterable[Channel]) -> Iterator[str]:
    names = {part.name for part in parts}
    for spare in spares:
        if spare.spare_for not in names:
            yield f"{spare.name} is the spare of no required couple, as far as stated, and stands in for none"
