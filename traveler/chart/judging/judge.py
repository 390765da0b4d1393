"""A recorded time-temperature chart held against a rule as a strict inspector does.

The codes print temperatures, times, rates and spreads, and leave open how they are read off a chart: over which time
a rate is measured, whether a soak may be the sum of pieces, what a dead couple means. The answers here are our own,
each the conservative one (common practice, no published source), and each is stated with the result.
"""

from collections.abc import Iterator
from dataclasses import replace
from math import inf

from traveler.chart.cleaning.trouble import between_marks, usable
from traveler.chart.couples import Usable
from traveler.chart.judging.asked import Asked, asked_of
from traveler.chart.judging.extremes import EXIT, HIGHEST, LOADING, judge_exit, judge_highest, judge_loading
from traveler.chart.judging.rates import Rates, judge_rates
from traveler.chart.judging.rows import Rows, rows_of
from traveler.chart.judging.soak_time import find_soak, judge_soak_temperature, judge_soak_time
from traveler.chart.judging.spread import HEATING, SOAK, judge_spread_heating, judge_spread_soak
from traveler.chart.judging.verdicts import MOST_DRAWN, Finding, worst_of
from traveler.chart.model import Chart, Criterion, Judged, Limit, Limits, Options
from traveler.errors import BadInput

CHART_JUDGE = 1
"""Version of the judging, kept with every result: a later one that judges otherwise says so."""

ONE_SIDED = "a crayon shows only that the metal was at least so hot: it takes thermocouples on a recorder"


def judge_chart(chart: Chart, limits: Limits, options: Options) -> Judged:
    """Every criterion that the rule prints, and the worst of those that decide.

    Raises BadInput for a chart without a required couple or with one row only, a window or an uncertainty that is
    not greater than zero, and an uncertainty that leaves nothing of the soak band.
    """
    return judge_couples(chart, usable(chart, options), limits, options)


def judge_couples(chart: Chart, found: Usable, limits: Limits, options: Options) -> Judged:
    """As ``judge_chart``, from the couples once they are cleaned of their troubles."""
    if not found.couples:
        raise BadInput("the chart has no couple on the part; expected at least one to judge")
    if len(chart.times_s) < 2:
        raise BadInput(
            "the chart has one row only; expected at least two, for nothing is known between readings"
        )
    if not 0 < options.window_s < inf:
        raise BadInput(
            f"the window for rates is {options.window_s:g} s; expected a length of time such as 30 min"
        )
    if options.uncertainty is not None and options.uncertainty.canonical < 0:
        raise BadInput("the uncertainty of a reading is below zero; expected a difference such as 2.8 C")
    return _judged(asked_of(chart, limits, options), found, options)


def _judged(asked: Asked, found: Usable, options: Options) -> Judged:
    rows = _between_marks(rows_of(asked.chart.times_s, found.couples, asked.threshold), options)
    soak = find_soak(asked, rows, options.soak)
    rates = judge_rates(asked, rows) if asked.method != "crayon" else Rates((), 0)
    time = judge_soak_time(asked, rows, soak, options.soak)
    seen = time.criterion.verdict if time else "met"
    findings = [judge_soak_temperature(asked, rows, soak, seen)]
    if asked.method == "crayon":
        findings += [time, *_one_sided(asked)]
    else:
        findings += [
            judge_highest(asked, rows),
            time,
            *rates.findings,
            judge_spread_heating(asked, rows, soak, options.soak),
            judge_spread_soak(asked, rows, soak, seen),
            judge_loading(asked, rows, options.loaded_s, found.max_gap_s),
            judge_exit(asked, rows, soak.pieces, options.out_s),
        ]
    findings.append(Finding(found.criterion, found.faults))
    made = [finding for finding in findings if finding is not None]
    return Judged(
        verdict=worst_of(finding.criterion.verdict for finding in made if finding.criterion.decides),
        criteria=tuple(finding.criterion for finding in made),
        soaks=soak.spans,
        faults=tuple(fault for finding in made for fault in finding.faults[:MOST_DRAWN]),
        notes=(*found.notes, *_notes(asked, options, rates.cycles)),
    )


def _between_marks(rows: Rows, options: Options) -> Rows:
    """Without the unknown stretches that the criterion "couples" leaves out by the marks of loading and exit."""
    stretches = {(one.first, one.last) for one in rows.hidden}
    kept = set(between_marks(list(stretches), rows.times, options))
    if kept == stretches:
        return rows
    return replace(rows, hidden=[one for one in rows.hidden if (one.first, one.last) in kept])


def _notes(asked: Asked, options: Options, cycles: int) -> Iterator[str]:
    if cycles > 1 and asked.threshold is not None:
        yield f"the part was above {asked.degrees(asked.threshold)} {cycles} times: each is judged"
    band = asked.band
    if band.low is not None and band.high is not None and band.high < band.low:
        yield (
            f"the highest temperature allowed, {asked.degrees(band.high)}, is below the least soak temperature, "
            f"{asked.degrees(band.low)}: no chart can show both"
        )
    if options.uncertainty is None and asked.method == "logger":
        yield "no uncertainty of the readings was given: it is taken as zero"
    if asked.method == "hand-read":
        yield f"read by eye from paper: a reading is taken to be off by {asked.span(asked.uncertainty)}"


def _one_sided(asked: Asked) -> Iterator[Finding]:
    """All that a crayon cannot show."""
    limits = asked.limits
    printed: tuple[tuple[str, Limit | None, str], ...] = (
        (HIGHEST, limits.soak_max, asked.unit),
        ("heating rate", limits.heating, asked.rate_unit),
        ("cooling rate", limits.cooling, asked.rate_unit),
        (HEATING, limits.spread_heating, asked.span_unit),
        (SOAK, limits.spread_soak, asked.span_unit),
        (LOADING, limits.loading, asked.unit),
        (EXIT, limits.threshold, asked.unit),
    )
    for name, limit, unit in printed:
        if limit is not None:
            yield Finding(
                Criterion(name, "at_most", limit, None, unit, None, None, None, "not shown", (ONE_SIDED,))
            )
