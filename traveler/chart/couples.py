"""The required couples of a chart, cleaned of their troubles: what all further judging looks at."""

from array import array
from dataclasses import dataclass, field
from functools import cached_property

from traveler.chart.model import Criterion, Fault
from traveler.chart.series import Series


@dataclass(frozen=True)
class Couple:
    """One required part couple on the chart's row of times.

    ``values``: in the chart's unit, one a row of ``Chart.times_s``; short holes are filled along the straight
    line between the good readings beside them.

    ``unknown``: ranges of rows (first, last), first < last, in order and not overlapping, though one may begin
    where another ends. Nothing is known strictly between the times of ``first`` and ``last``, and the values
    there are not to be used, whatever they are. The readings at ``first`` and ``last`` themselves count, unless
    they are NaN, as they are where the stretch reaches the beginning or the end of the chart without a good
    reading. Rows that lie too far apart make a range (i, i + 1) in every couple.

    ``shared``: the series of a channel whose values these are.
    """

    name: str
    values: "array[float]"
    unknown: tuple[tuple[int, int], ...] = ()
    shared: Series | None = field(default=None, compare=False, repr=False)

    @cached_property
    def series(self) -> Series:
        """``values`` as all who work on them share them; only those that are known count."""
        return self.shared or Series(self.values)


@dataclass(frozen=True, slots=True)
class Usable:
    """The couples that can be judged, and what was wrong with them.

    ``couples``: the required part couples in the order of the file, with a declared spare in place of a couple
    from where that one failed. ``criterion``: "couples". ``max_gap_s``: rows and readings further apart than
    this show nothing between them [s].
    """

    couples: tuple[Couple, ...]
    criterion: Criterion
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]
    max_gap_s: float
