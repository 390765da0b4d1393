"""Heating and cooling rate against their limits."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from traveler.chart.judging.asked import Asked, number_in
from traveler.chart.judging.excursions import Direction
from traveler.chart.judging.paces import Pace, read_paces
from traveler.chart.judging.rows import Rows
from traveler.chart.judging.unseen import Unseen
from traveler.chart.judging.verdicts import Finding, against, badness, told, worst_of
from traveler.chart.model import Criterion, Fault, Limit, Stretch, Verdict

_VERB: dict[Direction, str] = {"heating": "rises", "cooling": "falls"}


@dataclass(frozen=True, slots=True)
class Rates:
    """A finding for each rate that the rule prints, and how often the part was above the threshold."""

    findings: tuple[Finding, ...]
    cycles: int


def judge_rates(asked: Asked, rows: Rows) -> Rates:
    """Reads every heating and every cooling of every couple."""
    printed: dict[Direction, Limit | None] = {
        "heating": asked.limits.heating,
        "cooling": asked.limits.cooling,
    }
    numbers = {
        way: None if limit is None else number_in(limit, asked.rate_unit) for way, limit in printed.items()
    }
    paces = read_paces(asked, rows, numbers)
    findings = []
    for way, limit in printed.items():
        number = numbers[way]
        if limit is not None and number is not None:
            judging = _Judging(asked, way, limit, number, paces.unseen)
            findings.append(judging.finding(paces.found[way]))
    return Rates(tuple(findings), paces.cycles)


class _Judging:
    def __init__(self, asked: Asked, way: Direction, limit: Limit, number: Fraction, unseen: Unseen) -> None:
        self.asked, self.way, self.limit, self.number = asked, way, limit, number
        self.doubts, self.doubted = unseen.first[way], unseen.count[way]
        self.name = f"{way} rate"

    def finding(self, paces: list[Pace]) -> Finding:
        """The worst pace decides, and what nobody saw is not shown."""
        judged = [(self._verdict(pace), pace) for pace in paces]
        worst = max(judged, key=lambda one: (badness(one[0]), one[1].rate), default=None)
        verdict = worst_of(verdict for verdict, _ in judged)
        if self.doubts or worst is None:
            verdict = worst_of((verdict, "not shown" if self.doubts or self.asked.rates_apply else "met"))
        if verdict == "met" and self.asked.method == "hand-read":
            verdict = "conditional"
        pace = worst[1] if worst else None
        criterion = Criterion(
            criterion=self.name,
            bound="at_most",
            limit=self.limit,
            worst=pace.rate if pace else None,
            unit=self.asked.rate_unit,
            couple=pace.couple if pace else None,
            at_s=float(pace.start_s) if pace else None,
            margin=self.number - pace.rate if pace else None,
            verdict=verdict,
            reasons=tuple(self._reasons(pace)),
        )
        return Finding(criterion, tuple(self._faults(judged)))

    def _guard(self, pace: Pace) -> Fraction:
        """Two readings, each off to the bad side, over the time of the pace."""
        return 3600 * 2 * self.asked.uncertainty / pace.over_s

    def _verdict(self, pace: Pace) -> Verdict:
        return against(self.number - pace.rate, self._guard(pace))

    def _reasons(self, pace: Pace | None) -> Iterator[str]:
        asked = self.asked
        window = f"{float(asked.window_s / 60):g} min"
        where = "" if asked.threshold is None else f" above {asked.degrees(asked.threshold)}"
        yield f"any {window}{where}, and the mean of each {self.way}"
        if pace is not None:
            yield (
                f"{pace.couple} {_VERB[self.way]} {asked.rate(pace.rate)} {pace.over}, "
                f"from {asked.stamp(pace.start_s)} to {asked.stamp(pace.end_s)}"
            )
            if 0 <= self.number - pace.rate < self._guard(pace):
                yield f"two readings off by {asked.span(asked.uncertainty)} make {asked.rate(self._guard(pace))}"
        elif not asked.rates_apply:
            yield "no couple rises above the threshold, so the limit does not apply"
        elif not self.doubts:
            yield f"no {self.way} is seen"
        if asked.method == "hand-read":
            yield "read by eye from paper: a rate between two points is at best conditional"
        yield from told([doubt.words for doubt in self.doubts], self.doubted, "stretches that are not shown")

    def _faults(self, judged: list[tuple[Verdict, Pace]]) -> Iterator[Fault]:
        """The steepest place of each couple that fails, and each stretch that nobody saw."""
        failing: dict[str, Pace] = {}
        for verdict, pace in judged:
            if verdict == "not met" and (pace.couple not in failing or pace.rate > failing[pace.couple].rate):
                failing[pace.couple] = pace
        for pace in failing.values():
            words = f"{pace.couple} {_VERB[self.way]} {self.asked.rate(pace.rate)}"
            yield Fault(self.name, pace.couple, Stretch(float(pace.start_s), float(pace.end_s)), words)
        for doubt in self.doubts:
            yield Fault(self.name, doubt.couple, doubt.span, f"{self.way} of {doubt.couple} not shown")
