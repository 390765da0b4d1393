"""The values of a column and what many parts ask of them, worked out once: cleaning, judging, drawing ask the same."""

from array import array
from functools import cached_property
from math import isnan

BLOCK = 64


class Series:
    """Values of one column, and the least and the greatest of any stretch of them, from those of its blocks.

    The values are not to be changed. A stretch in which one is missing (NaN) has no extremes.
    """

    def __init__(self, values: "array[float]") -> None:
        self._values = values

    @cached_property
    def values(self) -> list[float]:
        """The values, ready as objects: four times the memory, for those who go over them again and again."""
        return self._values.tolist()

    @cached_property
    def whole(self) -> bool:
        """Whether no value is missing."""
        # One sum tells whether a reading is missing anywhere; most channels have all of theirs.
        return not isnan(sum(self._values))

    @cached_property
    def blocks(self) -> tuple[list[float], list[float]]:
        """Least and greatest value of each block of ``BLOCK`` steps; a block begins with the last of the one before."""
        least, greatest = [], []
        for start in range(0, len(self._values) - 1, BLOCK):
            block = self._values[start : start + BLOCK + 1]
            least.append(min(block))
            greatest.append(max(block))
        return least, greatest

    def between(self, first: int, last: int) -> tuple[float, float]:
        """Least and greatest value from one place to another, both included."""
        values = self._values
        start, stop = -(-first // BLOCK), last // BLOCK
        if start >= stop:
            part = values[first : last + 1]
            return min(part), max(part)
        least, greatest = self.blocks
        edges = values[first : start * BLOCK + 1] + values[stop * BLOCK : last + 1]
        return min(*least[start:stop], *edges), max(*greatest[start:stop], *edges)

    def places(self, first: int, last: int) -> tuple[int, int]:
        """The first place of the least and that of the greatest value between two places, both included."""
        least, greatest = self.between(first, last)
        of_least, of_greatest = self.blocks
        return self._place(least, of_least, first, last), self._place(greatest, of_greatest, first, last)

    def _place(self, extreme: float, of_blocks: list[float], first: int, last: int) -> int:
        """The first place of an extreme of that stretch: only the block that has it is searched through."""
        start, stop = -(-first // BLOCK), last // BLOCK
        if start < stop and extreme not in self._values[first : start * BLOCK + 1]:
            inside = of_blocks[start:stop]
            first = BLOCK * (start + inside.index(extreme) if extreme in inside else stop)
        return self._values.index(extreme, first)
