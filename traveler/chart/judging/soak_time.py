"""The two verdicts on the soak: how long all couples were in the band together, and how cold the coldest was then."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from traveler.chart.judging.asked import CRAYON_SHARE, HAND_READ_MIN, Asked, lasted, short
from traveler.chart.judging.exact import exact
from traveler.chart.judging.rows import Rows
from traveler.chart.judging.soak import Piece, could_last, counted, minutes, soak_pieces
from traveler.chart.judging.verdicts import MOST_DRAWN, MOST_TOLD, Finding, against, badness, told
from traveler.chart.model import Criterion, Fault, Limit, SoakMode, Stretch, Verdict

TIME = "soak time"
TEMPERATURE = "soak temperature"
MARKS_TOO_FEW = "the marks show no soak as long as the hold"
NOT_THROUGHOUT = "the soak is not seen from beginning to end in every couple"


@dataclass(frozen=True, slots=True)
class Soak:
    """All pieces of soak, those that count, and those that count when every reading is off to the bad side."""

    pieces: list[Piece]
    counted: list[Piece]
    guarded: list[Piece]

    @property
    def spans(self) -> tuple[Stretch, ...]:
        """What counts, for whoever draws it."""
        return tuple(Stretch(float(piece.start.at_s), float(piece.end.at_s)) for piece in self.counted)


def find_soak(asked: Asked, rows: Rows, mode: SoakMode) -> Soak:
    """Raises BadInput where the uncertainty leaves nothing of the band."""
    if asked.soak_min is None:
        return Soak([], [], [])
    # A crayon tells of the moments at which somebody looked, and nothing of when the metal passed its mark.
    pieces = soak_pieces(rows, asked.band, between_rows=asked.method != "crayon")
    guarded = pieces
    if asked.uncertainty > 0 and asked.method != "crayon":
        guarded = soak_pieces(rows, asked.guarded_band)
    return Soak(pieces, counted(pieces, mode), counted(guarded, mode))


def judge_soak_time(asked: Asked, rows: Rows, soak: Soak, mode: SoakMode) -> Finding | None:
    """None where the rule prints neither a temperature nor a time; without a time it is listed for information."""
    limit, hold_min = asked.limits.hold, asked.hold_min
    if asked.soak_min is None:
        return None if limit is None else _no_temperature(limit)
    held_min = minutes(soak.counted)
    verdict: Verdict = "met"
    if hold_min is not None:
        verdict = _time_verdict(asked, rows, soak, mode, hold_min)
    criterion = Criterion(
        criterion=TIME,
        bound=None if limit is None else "at_least",
        limit=limit,
        worst=held_min,
        unit="min",
        couple=soak.counted[0].end.couple if soak.counted else None,
        at_s=float(soak.counted[0].start.at_s) if soak.counted else None,
        margin=None if hold_min is None else held_min - hold_min,
        verdict=verdict,
        reasons=tuple(_time_reasons(asked, rows, soak, mode, verdict)),
        decides=limit is not None,
    )
    failing = badness(verdict) >= badness("not shown")
    return Finding(criterion, tuple(_time_faults(asked, rows, soak, held_min)) if failing else ())


def _no_temperature(limit: Limit) -> Finding:
    reason = "no least soak temperature is given: nothing tells from when the time counts"
    return Finding(Criterion(TIME, "at_least", limit, None, "min", None, None, None, "not shown", (reason,)))


def _time_verdict(asked: Asked, rows: Rows, soak: Soak, mode: SoakMode, hold_min: Fraction) -> Verdict:
    if minutes(soak.counted) < hold_min:
        # A crayon that melted never shows that the metal was too cold.
        open_still = asked.method == "crayon" or could_last(
            rows, asked.band, soak.pieces, 60 * hold_min, mode
        )
        return "not shown" if open_still else "not met"
    if asked.method != "logger" or minutes(soak.guarded) < hold_min:
        return "conditional"
    return "met"


def _time_reasons(asked: Asked, rows: Rows, soak: Soak, mode: SoakMode, verdict: Verdict) -> Iterator[str]:
    if not soak.pieces:
        yield "at no time are all couples seen in the soak band together"
    else:
        longest = max(piece.length_s for piece in soak.pieces) / 60
        which = "the longest interval counts" if mode == "longest" else "the sum counts"
        yield f"longest {lasted(longest)}, together {lasted(minutes(soak.pieces))} in {len(soak.pieces)}; {which}"
    guarded = f"with readings off by {asked.span(asked.uncertainty)}: {lasted(minutes(soak.guarded))}"
    uncertain = [guarded] if asked.uncertainty > 0 and asked.method != "crayon" else []
    # The last reason is the one that is told where there is room for one only.
    if verdict != "conditional":
        yield from uncertain
    yield from (_edges(asked, piece) for piece in soak.counted[:MOST_TOLD])
    breaks = [words for _, _, words in _breaks(asked, rows, soak.pieces[: MOST_DRAWN + 1])]
    yield from told(breaks, len(soak.pieces) - 1, "breaks")
    if verdict == "conditional":
        yield from uncertain
    if asked.method == "hand-read":
        yield f"read by eye from paper: the length may be off by {short(HAND_READ_MIN)} min"
    if asked.method == "crayon":
        yield "a crayon shows that the metal was at least so hot, to 1 % of its mark, when somebody looked"
    elif verdict == "not shown":
        yield "what is not seen of a couple does not count; unseen, the soak may have been long enough"


def _edges(asked: Asked, piece: Piece) -> str:
    start, end = asked.stamp(piece.start.at_s), asked.stamp(piece.end.at_s)
    last_in = f" with {piece.start.couple} the last in" if piece.start.couple else ""
    first_out = f" with {piece.end.couple} the first out" if piece.end.couple else ""
    return f"from {start}{last_in} to {end}{first_out}"


def _breaks(asked: Asked, rows: Rows, pieces: Sequence[Piece]) -> Iterator[tuple[Piece, Piece, str]]:
    """What lies between one piece and the next, with its words."""
    low, high = asked.band.floats()
    for before, after in pairwise(pieces):
        length = (
            f"for {short((after.start.at_s - before.end.at_s) / 60, up=True)} min "
            f"from {asked.stamp(before.end.at_s)}"
        )
        between = slice(before.last + 1, after.first)
        coldest = min(rows.coldest[between], default=low)
        hottest = max(rows.hottest[between], default=high)
        name = before.end.couple
        if asked.method == "crayon":
            words = f"no mark that is hot enough at every place {length}"
        elif name is None:
            words = f"not all couples are seen {length}"
        elif coldest < low:
            words = f"{name} leaves the band {length}, the coldest at {asked.degrees(exact(coldest))}"
        elif hottest > high:
            words = f"{name} leaves the band {length}, the hottest at {asked.degrees(exact(hottest))}"
        else:
            words = f"{name} leaves the band {length}"
        yield before, after, words


def _time_faults(asked: Asked, rows: Rows, soak: Soak, held_min: Fraction) -> Iterator[Fault]:
    hold = f" of {short(asked.hold_min)} min" if asked.hold_min is not None else " min"
    for piece in soak.counted:
        span = Stretch(float(piece.start.at_s), float(piece.end.at_s))
        yield Fault(TIME, piece.end.couple, span, f"soak {lasted(held_min).removesuffix(' min')}{hold}")
    for before, after, words in _breaks(asked, rows, soak.pieces[: MOST_DRAWN + 1]):
        span = Stretch(float(before.end.at_s), float(after.start.at_s))
        yield Fault(TIME, before.end.couple, span, words)
    if not soak.counted:
        yield Fault(TIME, None, Stretch(rows.times[0], rows.times[-1]), "never all seen in the soak band")


def judge_soak_temperature(asked: Asked, rows: Rows, soak: Soak, time: Verdict) -> Finding | None:
    """The coldest reading over the hold, where the counted soak is longer than that over its best part.

    At its ends a soak is as cold as the limit by its own definition, so these count only where the hold needs them.
    ``time``: the verdict on the soak time; a soak that is not seen throughout does not show its coldest place.
    None where the rule prints no temperature.
    """
    limit, low = asked.limits.soak_min, asked.soak_min
    if limit is None or low is None:
        return None
    if not soak.counted:
        return _without_soak(asked, rows, limit, low)
    hold_s = None if asked.hold_min is None else 60 * asked.hold_min
    enough = hold_s is not None and 60 * minutes(soak.guarded) >= hold_s
    pieces = soak.guarded if enough else soak.counted
    worst, at_s, couple = _coldest(rows, pieces, hold_s)
    if asked.method == "crayon":
        worst *= CRAYON_SHARE
    verdict = against(worst - low, asked.uncertainty)
    reasons = ["the coldest reading of the soak that counts"]
    if hold_s is not None and max(piece.length_s for piece in pieces) >= hold_s:
        reasons = ["the coldest reading over the best part of the soak that is as long as the hold"]
    if verdict == "conditional":
        reasons.append(asked.too_near())
    if asked.method == "crayon":
        verdict = "conditional"
        reasons = ["99 % of the mark that melted"]
    if time == "not shown":
        verdict = "not shown"
        reasons.append(MARKS_TOO_FEW if asked.method == "crayon" else NOT_THROUGHOUT)
    criterion = Criterion(
        TEMPERATURE, "at_least", limit, worst, asked.unit, couple, at_s, worst - low, verdict, tuple(reasons)
    )
    return Finding(criterion)


def _without_soak(asked: Asked, rows: Rows, limit: Limit, low: Fraction) -> Finding:
    seen = [row for row in range(len(rows.times)) if not rows.unseen[row]]
    if not seen:
        reason = "at no row are all couples known"
        return Finding(
            Criterion(
                TEMPERATURE, "at_least", limit, None, asked.unit, None, None, None, "not shown", (reason,)
            )
        )
    row = max(seen, key=rows.coldest.__getitem__)
    worst, couple = exact(rows.coldest[row]), rows.coldest_couple(row)
    if asked.method == "crayon":
        worst *= CRAYON_SHARE
    one_sided = asked.method == "crayon"
    verdict: Verdict = "not shown" if rows.hidden or worst >= low or one_sided else "not met"
    seen_only = " while all couples were seen" if rows.hidden else ""
    reason = f"there is no soak to read it from: the coldest place got no hotter than this{seen_only}"
    if one_sided:
        reason = "no marks show a soak at every place: this is the most that they show together"
    criterion = Criterion(
        TEMPERATURE,
        "at_least",
        limit,
        worst,
        asked.unit,
        couple,
        rows.times[row],
        worst - low,
        verdict,
        (reason,),
    )
    words = f"{couple} reaches {asked.degrees(worst)}{seen_only}"
    return Finding(criterion, (Fault(TEMPERATURE, couple, Stretch(rows.times[row], rows.times[row]), words),))


def _coldest(rows: Rows, pieces: Sequence[Piece], hold_s: Fraction | None) -> tuple[Fraction, float, str]:
    """The coldest reading of the pieces, when [s], and whose.

    Where one piece is longer than the hold, rows are taken off that end which is colder, as long as the hold is left.
    """
    longest = max(pieces, key=lambda piece: piece.length_s)
    if hold_s is not None and longest.length_s >= hold_s:
        pieces = [longest]
    readings: list[tuple[Fraction, float, str]] = []
    for piece in pieces:
        first, last = piece.first, piece.last
        if hold_s is not None:
            first, last = _trimmed(rows, first, last, float(hold_s))
        if first <= last:
            row = min(range(first, last + 1), key=rows.coldest.__getitem__)
            readings.append((exact(rows.coldest[row]), rows.times[row], rows.coldest_couple(row)))
        if first > last or (
            hold_s is not None and exact(rows.times[last]) - exact(rows.times[first]) < hold_s
        ):
            readings += (_coldest_at(rows, edge.at_s) for edge in (piece.start, piece.end))
    return min(readings)


def _trimmed(rows: Rows, first: int, last: int, hold_s: float) -> tuple[int, int]:
    times, coldest = rows.times, rows.coldest
    while last > first:
        if coldest[first] <= coldest[last]:
            if times[last] - times[first + 1] < hold_s:
                break
            first += 1
        else:
            if times[last - 1] - times[first] < hold_s:
                break
            last -= 1
    return first, last


def _coldest_at(rows: Rows, at_s: Fraction) -> tuple[Fraction, float, str]:
    readings = rows.readings_at(at_s)
    name = min(readings, key=readings.__getitem__)
    return readings[name], float(at_s), name
