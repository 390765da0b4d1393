"""Readings that no metal gives: a couple that jumps, and one that stands still while the others move.

The limits are our own choice; they follow what inspectors ask about (common practice, no published source).
"""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import compress, count, repeat
from operator import ne, sub
from statistics import median
from typing import NamedTuple

from traveler.chart.cleaning.readings import Degree, Readings
from traveler.chart.series import BLOCK

JUMP_SPAN_C = 20.0
JUMP_C_PER_MIN = 50.0
MOST_JUMPS = 100
"""A couple that jumps more often than this is not trusted again."""
STUCK_FOR_S = 600.0
STUCK_SAMPLES = 5
OTHERS_MOVE_C = 10.0
# A couple that lies within what 50 C deg/min allow since its last good reading is trusted again; the longer it was
# away the less that says, so further off than this it must agree with the other couples as well, ...
_ALONE_WITHIN_C = 100.0
# ... that is, lie no further from their median than codes let the metal of one part spread while it heats (250 F deg).
_AGREES_WITHIN_C = 140.0
_ASK_AGAIN_S = 60.0
# A torch on a bracket stays below this; an input that drifts to its end stop after a couple opened does not.
_FASTEST_C_PER_MIN = 600.0
_LEFT_BEHIND_C = 20.0
_BESIDE_WITHIN_S = 600.0  # other couples may be read in other rows
_MARK_S = 240.0  # so that any 10 min hold two marks


class Distrusted(NamedTuple):
    """Rows from ``first`` to ``last``, both included, whose readings do not count, and why."""

    first: int
    last: int
    words: str

    @property
    def span(self) -> tuple[int, int]:
        """First and last row."""
        return self.first, self.last


def distrusted(
    parts: Sequence[Readings], spares: Sequence[Readings], degree: Degree
) -> list[list[Distrusted]]:
    """What is not to be trusted of each channel: first the parts', then the spares', each in order of time."""
    channels = [*parts, *spares]
    jumps = [_jumps(channel, [], degree) for channel in channels]
    # What agrees with other couples must agree with such as can be trusted without this: all may be open at once.
    alone = [_trusted(channel, found) for channel, found in zip(channels, jumps, strict=True)]
    others = [[alone[j] for j in range(len(parts)) if j != i] for i in range(len(channels))]
    jumps = [
        _jumps(channel, beside, degree) if found else found
        for channel, beside, found in zip(channels, others, jumps, strict=True)
    ]
    trusted = [_trusted(channel, found) for channel, found in zip(channels, jumps, strict=True)]
    for i, channel in enumerate(channels):
        beside = [trusted[j] for j in range(len(parts)) if j != i]
        stuck = _stuck(trusted[i], beside, degree)
        if stuck:
            # Where it moves again it may have far to go, which is no jump: the time it stood still counts.
            jumps[i] = sorted([*stuck, *_jumps(_trusted(channel, stuck), others[i], degree)])
    return jumps


def _trusted(channel: Readings, found: Sequence[Distrusted]) -> Readings:
    return channel.without([each.span for each in found])


def _jumps(channel: Readings, others: Sequence[Readings], degree: Degree) -> list[Distrusted]:
    rows, values = channel.rows, channel.values
    found: list[Distrusted] = []
    trusted_from = 0
    for before in _steep(channel, JUMP_SPAN_C * degree.size):
        after = before + 1
        if before < trusted_from or not _is_jump(channel, before, degree):
            continue
        words = f"jumps from {values[before]:g} to {values[after]:g} {degree.label}"
        if not found and _joins(channel, before, others, degree):
            found.append(Distrusted(rows[0], rows[before], words))
            continue
        trusted_from = _back(channel, before, others, degree)
        if len(found) == MOST_JUMPS:
            trusted_from = len(values)
            words = f"jumps on after {MOST_JUMPS} jumps, from {values[before]:g} to {values[after]:g} {degree.label}"
        furthest = max(values[after:trusted_from])
        if furthest > max(values[before], values[after]):
            words += f" and reads up to {furthest:g} {degree.label}"
        found.append(Distrusted(rows[after], rows[trusted_from - 1], words))
    return found


def _steep(channel: Readings, span: float) -> Iterator[int]:
    """Positions from which the next value is more than ``span`` away."""
    for index, (least, greatest) in enumerate(zip(*channel.series.blocks, strict=True)):
        if greatest - least > span:
            start = index * BLOCK
            block = channel.values[start : start + BLOCK + 1]
            steps = map(abs, map(sub, block[1:], block))
            yield from (start + position for position, step in enumerate(steps) if step > span)


def _is_jump(channel: Readings, before: int, degree: Degree) -> bool:
    """Whether a steep step is one that no metal takes.

    A torch and still air on thin metal change it faster than the limit too, but they go on doing so.
    """
    times, values = channel.times, channel.values
    step = values[before + 1] - values[before]
    per_minute = abs(step) * 60 / (times[before + 1] - times[before]) / degree.size
    if per_minute <= JUMP_C_PER_MIN:
        return False
    goes_on = any(
        (values[start + 1] - values[start]) * step >= step * step / 2
        for start in (before - 1, before + 1)
        if 0 <= start < len(values) - 1
    )
    return per_minute > _FASTEST_C_PER_MIN or not goes_on


def _joins(channel: Readings, before: int, others: Sequence[Readings], degree: Degree) -> bool:
    """Whether the couple was open, or no couple at all, up to the jump, and is among the others after it."""
    off_c, then_c = (_off_the_others(channel, at, others, degree) for at in (before, before + 1))
    return off_c is not None and then_c is not None and abs(off_c) > _AGREES_WITHIN_C >= abs(then_c)


def _back(channel: Readings, before: int, others: Sequence[Readings], degree: Degree) -> int:
    """Position from which a couple that jumped is trusted again, one past the last where it never is."""
    times, values = channel.times, channel.values
    position = before + 1
    while position < len(values):
        away_c = abs(values[position] - values[before]) / degree.size
        elapsed_s = times[position] - times[before]
        if away_c > max(JUMP_SPAN_C, JUMP_C_PER_MIN * elapsed_s / 60):
            position += 1
            continue
        off_c = 0.0 if away_c <= _ALONE_WITHIN_C else _off_the_others(channel, position, others, degree)
        if off_c is not None and abs(off_c) <= _AGREES_WITHIN_C:
            break
        position = bisect_left(times, times[position] + _ASK_AGAIN_S, position + 1)
    return position


def _off_the_others(
    channel: Readings, position: int, others: Sequence[Readings], degree: Degree
) -> float | None:
    """A reading less the median of the other couples' [C deg]; None where there are none."""
    at_s = channel.times[position]
    beside = [reading for other in others if (reading := other.upto(at_s, _BESIDE_WITHIN_S)) is not None]
    return (channel.values[position] - median(beside)) / degree.size if beside else None


def _stuck(channel: Readings, others: Sequence[Readings], degree: Degree) -> list[Distrusted]:
    """Runs of one value during which half of the other couples or more moved, and left this one behind."""
    found = []
    for start, end in _still(channel):
        first, last = channel.rows[start], channel.rows[end]
        beside = [extremes for other in others if (extremes := other.between(first, last)) is not None]
        moved = [(greatest - least) / degree.size for least, greatest in beside]
        enough = sum(span > OTHERS_MOVE_C for span in moved)
        if 2 * enough >= len(moved) > 0 and _left_behind(channel, start, end, others, beside, degree):
            words = (
                f"stays at {channel.values[start]:g} {degree.label} while others move "
                f"by up to {max(moved) * degree.size:.0f} {degree.span_label}"
            )
            # The first of the equal readings counts: nothing says that it was not the metal's.
            found.append(Distrusted(channel.rows[start + 1], last, words))
    return found


def _left_behind(
    channel: Readings,
    start: int,
    end: int,
    others: Sequence[Readings],
    beside: Sequence[tuple[float, float]],
    degree: Degree,
) -> bool:
    """Whether a couple that stands still has stopped reading, and not merely come to rest before the others.

    At the beginning of a soak those that lag still creep towards one that is there; at its end they leave before
    it. Such a one parts from them without a step, while one that was stuck makes up most of the way in its first.
    Where it never moves again, the others must have gone further away than they were.
    """
    at_start = _off_the_others(channel, start, others, degree)
    if at_start is None:
        return True
    if end + 1 < len(channel.values):
        before, after = (_off_the_others(channel, at, others, degree) for at in (end, end + 1))
        if before is None or after is None:
            return True
        astray_c, still_astray_c = abs(before - at_start), abs(after - at_start)
        return still_astray_c < min(astray_c - OTHERS_MOVE_C, astray_c / 2)
    own = channel.values[start]
    furthest = max(
        abs(median(least for least, _ in beside) - own), abs(median(greatest for _, greatest in beside) - own)
    )
    return furthest / degree.size > abs(at_start) + _LEFT_BEHIND_C


def _still(channel: Readings) -> list[tuple[int, int]]:
    """Runs of equal readings that last long enough: positions of the first and of the last."""
    times, values = channel.times, channel.values
    found = []
    position = 0
    while position < len(values) - 1:
        mark = max(position + 1, bisect_left(times, times[position] + _MARK_S))
        if mark >= len(values):
            break
        stretch = values[position : mark + 1]
        if stretch[0] != stretch[-1] or min(stretch) != max(stretch):
            position = mark
            continue
        start = position
        while start > 0 and values[start - 1] == values[position]:
            start -= 1
        end = next(compress(count(mark), map(ne, values[mark:], repeat(values[mark]))), len(values)) - 1
        if times[end] - times[start] > STUCK_FOR_S and end - start + 1 >= STUCK_SAMPLES:
            found.append((start, end))
        position = end
    return found
