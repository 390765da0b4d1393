"""Rows that share a stamp: sent twice, or sampled faster than the stamps tell apart. No reading is averaged away."""

from array import array
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import islice, pairwise
from operator import lt
from statistics import median_low

from traveler.errors import BadInput


@dataclass(frozen=True, slots=True)
class Evened:
    """Times that strictly rise [s], the rows they belong to (None: all of them), and what was done in words."""

    times_s: "array[float]"
    keep: Sequence[int] | None
    notes: tuple[str, ...] = ()


def strictly_rising(times_s: "array[float]", same_row: Callable[[int, int], bool]) -> Evened:
    """Drops rows that were sent twice and spreads the others of one stamp evenly up to the next stamp.

    ``times_s``: all times of the file, rising or staying. ``same_row``: whether two rows, by index, say the same in
    every cell. Where most stamps have several rows and not all of those are alike, the stamps are coarser than the
    sampling and nothing is dropped. Rows are never spread over more than the usual time between stamps, so that a gap
    stays one. Raises BadInput where several rows have one single stamp.
    """
    if all(map(lt, times_s, islice(times_s, 1, None))):
        return Evened(times_s, None)
    runs = _runs(times_s)
    several = [rows for rows in runs if len(rows) > 1]
    kept = runs
    if 2 * len(several) <= len(runs) or all(_alike(rows, same_row) for rows in several):
        kept = [_without_repeats(rows, same_row) for rows in runs]
    dropped = len(times_s) - sum(map(len, kept))
    notes = []
    if dropped:
        notes.append(f"{_rows(dropped)} sent twice, the same in every cell, left out")
    shared = [rows for rows in kept if len(rows) > 1]
    if shared and len(kept) == 1:
        raise BadInput("all rows have the same time: expected times that rise from row to row")
    starts = [times_s[rows[0]] for rows in kept]
    usual = median_low([after - before for before, after in pairwise(starts)]) if len(starts) > 1 else 0.0
    if shared:
        notes.append(
            f"{_rows(sum(map(len, shared)))} at {len(shared)} stamps, which are coarser than the sampling: "
            f"spread evenly, and known to {usual:g} s only"
        )
    keep = None if not dropped else [row for rows in kept for row in rows]
    return Evened(_spread(starts, [len(rows) for rows in kept], usual), keep, tuple(notes))


def _runs(times_s: "array[float]") -> list[list[int]]:
    runs = [[0]]
    for row, (before, after) in enumerate(pairwise(times_s), start=1):
        if after > before:
            runs.append([row])
        else:
            runs[-1].append(row)
    return runs


def _alike(rows: Sequence[int], same_row: Callable[[int, int], bool]) -> bool:
    return all(same_row(rows[0], row) for row in rows[1:])


def _without_repeats(rows: list[int], same_row: Callable[[int, int], bool]) -> list[int]:
    kept = rows[:1]
    for row in rows[1:]:
        if not any(same_row(before, row) for before in kept):
            kept.append(row)
    return kept


def _spread(starts: Sequence[float], counts: Sequence[int], usual: float) -> "array[float]":
    """Each stamp's rows evenly up to the next stamp; those of the last as close as rows usually are."""
    times = array("d")
    for (start, following), count in zip(pairwise(starts), counts, strict=False):
        width = min(following - start, usual)
        times.extend([start + width * index / count for index in range(count)])
    count = max(counts[-1], median_low(counts))
    times.extend([starts[-1] + usual * index / count for index in range(counts[-1])])
    return times


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"
