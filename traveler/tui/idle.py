"""For how long nobody has pressed a key."""

import time
from collections.abc import Callable, Sequence

CLOCKS: Sequence[Callable[[], float]] = (time.monotonic, time.time)
"""One stands still while the machine sleeps, the other may be set: the longer of the two times counts."""


class Idle:
    """Counts from the last ``heard``. ``clocks`` tell seconds, each from a beginning of its own."""

    def __init__(self, clocks: Sequence[Callable[[], float]] = CLOCKS) -> None:
        self._clocks = clocks
        self.heard()

    def heard(self) -> None:
        """A key was pressed."""
        self._since = [clock() for clock in self._clocks]

    @property
    def seconds(self) -> float:
        """Since the last key."""
        return max(clock() - since for clock, since in zip(self._clocks, self._since, strict=True))
