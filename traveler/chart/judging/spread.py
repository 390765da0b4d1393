"""How far the hottest and the coldest place of the part were apart, while heating and in the soak.

Between two rows the distance is a sum of straight lines that can only be greatest at a row, so rows and the ends of
the stretch are enough.
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import inf
from operator import sub

from traveler.chart.judging.asked import Asked, number_in
from traveler.chart.judging.exact import crossing, exact, greatest_difference, greatest_float
from traveler.chart.judging.rows import Rows
from traveler.chart.judging.soak import counted
from traveler.chart.judging.soak_time import NOT_THROUGHOUT, Soak
from traveler.chart.judging.verdicts import MOST_DRAWN, Finding, against, told, worst_of
from traveler.chart.model import Criterion, Fault, Limit, SoakMode, Stretch, Verdict

HEATING = "spread while heating"
SOAK = "spread in the soak"
Doubt = tuple[str, Stretch | None]
"""Why a spread is not shown, and where nobody saw it."""
_NEAR = 1e-7
"""Spreads this close together are compared as exact fractions."""


@dataclass(frozen=True, slots=True)
class End:
    """An end of a stretch in the step after row ``step``: at ``at_s`` [s], or where the hottest is at the threshold."""

    step: int
    at_s: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Span:
    """Rows ``first`` to ``last``, and the ends of the stretch where these lie between rows."""

    first: int
    last: int
    ends: tuple[End, ...] = ()


@dataclass(frozen=True, slots=True)
class Spread:
    """The distance between two couples at a time [s]."""

    size: Fraction
    at_s: Fraction
    hottest: str
    coldest: str


def judge_spread_heating(asked: Asked, rows: Rows, soak: Soak, mode: SoakMode) -> Finding | None:
    """Wherever a couple is above the threshold and the soak that counts has not begun; None without a limit.

    A stay above the threshold without a soak counts whole: nothing separates its heating from its cooling.
    """
    limit = asked.limits.spread_heating
    if limit is None:
        return None
    stays = _stays(asked, rows)
    spans = [span for stay in stays for span in _before_soak(rows, stay, soak, mode)]
    doubts: list[Doubt] = []
    if not stays and asked.rates_apply:
        doubts.append(("no couple is seen above the threshold", None))
    if asked.threshold is not None and any(first == 0 for first, _ in stays):
        doubts.append(("the part is hot when the record begins", None))
    unseen = {
        (first, last)
        for _, first, last in rows.hidden
        if not stays or any(first <= span.last + 1 and last >= span.first - 1 for span in spans)
    }
    for first, last in sorted(unseen)[:MOST_DRAWN]:
        between = Stretch(rows.times[first], rows.times[last])
        start, end = asked.stamp(between.start_s), asked.stamp(between.end_s)
        doubts.append((f"not all couples are seen from {start} to {end}", between))
    return _Judging(asked, rows, HEATING, limit).finding(spans, doubts)


def judge_spread_soak(asked: Asked, rows: Rows, soak: Soak, time: Verdict) -> Finding | None:
    """Within the soak that counts; not shown where the soak time is not. None without a limit."""
    limit = asked.limits.spread_soak
    if limit is None:
        return None
    spans = [
        Span(
            piece.first,
            piece.last,
            (End(max(piece.first - 1, 0), piece.start.at_s), End(piece.last, piece.end.at_s)),
        )
        for piece in soak.counted
    ]
    doubts: list[Doubt] = []
    if not soak.counted:
        doubts.append(("there is no soak to read it from", None))
    elif time == "not shown":
        doubts.append((NOT_THROUGHOUT, None))
    return _Judging(asked, rows, SOAK, limit).finding(spans, doubts)


def _stays(asked: Asked, rows: Rows) -> list[tuple[int, int]]:
    """First and last row of each time that some couple was above the threshold."""
    if asked.threshold is None:
        return [(0, len(rows.times) - 1)]
    flags = bytes(map(greatest_float(asked.threshold).__lt__, rows.hottest))
    stays, stop = [], 0
    while (first := flags.find(1, stop)) >= 0:
        stop = flags.find(0, first)
        stop = len(flags) if stop < 0 else stop
        stays.append((first, stop - 1))
    return stays


def _before_soak(rows: Rows, stay: tuple[int, int], soak: Soak, mode: SoakMode) -> Iterator[Span]:
    """The stretches of a stay before its last piece of counted soak, without the pieces themselves."""
    first, last = stay
    begin = (End(first - 1),) if first > 0 and not rows.broken[first - 1] else ()
    end = (End(last),) if last < len(rows.times) - 1 and not rows.broken[last] else ()
    pieces = counted([piece for piece in soak.pieces if first <= piece.first <= last + 1], mode)
    if not pieces:
        yield Span(first, last, begin + end)
    for piece in pieces:
        if begin or first < piece.first:
            yield Span(first, piece.first - 1, (*begin, End(max(piece.first - 1, 0), piece.start.at_s)))
        first, begin = piece.last + 1, (End(piece.last, piece.end.at_s),)


class _Judging:
    def __init__(self, asked: Asked, rows: Rows, name: str, limit: Limit) -> None:
        self.asked, self.rows, self.name, self.limit = asked, rows, name, limit
        self.number = number_in(limit, asked.span_unit)

    def finding(self, spans: Sequence[Span], doubts: list[Doubt]) -> Finding:
        """The greatest spread decides; a limit that nothing shows to be kept is not shown."""
        if len(self.rows.couples) == 1:
            reason = "one couple shows no spread: it takes a second one, far from the first"
            return self._finding(None, "not shown", (reason,), ())
        worst = max(
            (one for span in spans if (one := self._greatest(span))), key=lambda one: one.size, default=None
        )
        verdict: Verdict = "met"
        reasons = told([words for words, _ in doubts], len(doubts), "reasons")
        if worst is not None:
            verdict = against(self.number - worst.size, 2 * self.asked.uncertainty)
            same = worst.hottest == worst.coldest
            reasons.insert(
                0, "all couples read the same" if same else f"{worst.hottest} over {worst.coldest}"
            )
        if verdict == "conditional":
            reasons.append(f"two readings off by {self.asked.span(self.asked.uncertainty)} each")
        if not doubts and worst is None:
            reasons.append("no couple rises above the threshold, so the limit does not apply")
        verdict = worst_of((verdict, "not shown" if doubts else "met"))
        return self._finding(
            worst, verdict, tuple(reasons), (*self._too_far(worst, verdict, spans), *self._unseen(doubts))
        )

    def _finding(
        self, worst: Spread | None, verdict: Verdict, reasons: tuple[str, ...], faults: tuple[Fault, ...]
    ) -> Finding:
        criterion = Criterion(
            criterion=self.name,
            bound="at_most",
            limit=self.limit,
            worst=worst.size if worst else None,
            unit=self.asked.span_unit,
            couple=worst.hottest if worst else None,
            at_s=float(worst.at_s) if worst else None,
            margin=self.number - worst.size if worst else None,
            verdict=verdict,
            reasons=reasons,
        )
        return Finding(criterion, faults)

    def _greatest(self, span: Span) -> Spread | None:
        sizes = self._sizes(span.first, span.last)
        greatest = max(sizes, default=-inf)
        best: Spread | None = None
        if greatest > -inf:
            best = self._at_row(span.first + self._place(span, sizes, greatest))
        for end in span.ends:
            # Straight lines: between two rows nothing lies further apart than at the worse of the two.
            if max(self._sizes(end.step, end.step + 1), default=-inf) > greatest - _NEAR:
                there = self._at_end(end)
                if there is not None and (best is None or there.size > best.size):
                    best = there
        return best

    def _sizes(self, first: int, last: int) -> list[float]:
        rows = slice(first, last + 1)
        return list(map(sub, self.rows.hottest[rows], self.rows.coldest[rows]))

    def _place(self, span: Span, sizes: list[float], greatest: float) -> int:
        """Where the greatest size is; near the limit floats cannot tell it from others."""
        if abs(greatest - float(self.number)) > _NEAR:
            return sizes.index(greatest)
        rows = slice(span.first, span.last + 1)
        return greatest_difference(self.rows.hottest[rows], self.rows.coldest[rows])

    def _at_row(self, row: int) -> Spread:
        rows = self.rows
        size = exact(rows.hottest[row]) - exact(rows.coldest[row])
        return Spread(size, exact(rows.times[row]), rows.hottest_couple(row), rows.coldest_couple(row))

    def _at_end(self, end: End) -> Spread | None:
        at_s = self._crossed(end.step) if end.at_s is None else end.at_s
        readings = self.rows.readings_at(at_s)
        if not readings:
            return None
        hottest = max(readings, key=readings.__getitem__)
        coldest = min(readings, key=readings.__getitem__)
        return Spread(readings[hottest] - readings[coldest], at_s, hottest, coldest)

    def _crossed(self, step: int) -> Fraction:
        """When the hottest couple passes the threshold in a step: the first one up, or the last one down."""
        threshold = self.asked.threshold
        assert threshold is not None
        warm = greatest_float(threshold)
        times, columns = self.rows.times, self.rows.columns
        up = [
            crossing(times, column, step, threshold)
            for column in columns
            if column[step] <= warm < column[step + 1]
        ]
        down = [
            crossing(times, column, step, threshold)
            for column in columns
            if column[step + 1] <= warm < column[step]
        ]
        return min(up) if up else max(down)

    def _too_far(self, worst: Spread | None, verdict: Verdict, spans: Sequence[Span]) -> Iterator[Fault]:
        if worst is None or verdict != "not met":
            return
        too_far = greatest_float(self.number).__lt__
        words = f"{worst.hottest} {self.asked.span(worst.size)} over {worst.coldest}"
        start_s = end_s = float(worst.at_s)
        for span in spans:
            flags = bytes(map(too_far, self._sizes(span.first, span.last)))
            row = bisect_left(self.rows.times, start_s) - span.first
            if 0 <= row < len(flags) and flags[row]:
                first, last = flags.rfind(0, 0, row) + 1, flags.find(0, row)
                last = len(flags) - 1 if last < 0 else last - 1
                start_s, end_s = (self.rows.times[span.first + at] for at in (first, last))
                break
        yield Fault(self.name, worst.hottest, Stretch(start_s, end_s), words)

    def _unseen(self, doubts: list[Doubt]) -> Iterator[Fault]:
        return (Fault(self.name, None, span, f"{self.name} not shown") for _, span in doubts if span)
