"""The shop files that the figures share: each is made once a run, in the folder of the run."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from long_jobs import NUMBER, write_long
from many_jobs import write_shop

from traveler.acts.clock import SystemClock
from traveler.demo.build import build_demo

NOW = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
A_JOB = 2_000
"""Events of each job of a file of very many."""


class Files:
    """Made when they are asked for; ``said`` is told what is being made."""

    def __init__(self, folder: Path, said: Callable[[str], None]) -> None:
        self.folder = folder
        self._now = SystemClock().now()
        self._said = said
        self._made: dict[str, Path] = {}

    def with_jobs(self, jobs: int) -> Path:
        """A file with so many jobs, a third of them open as of now."""
        return self._once(f"{jobs}-jobs", lambda path: write_shop(path, jobs, self._now))

    def with_events(self, events: int) -> Path:
        """A file with so many events, in jobs of two thousand."""
        return self._once(f"{events}-events", lambda path: write_long(path, events, A_JOB, NOW))

    def one_job(self, events: int) -> tuple[Path, str]:
        """A file with one job of so many events, and its number."""
        return self._once(f"job-of-{events}", lambda path: write_long(path, events, events, NOW)), NUMBER

    def worked_job(self, readings: int) -> tuple[Path, str]:
        """A file to write to: one job that has about so many readings, and its number."""
        # The model of a long job has its issue and four readings at the least.
        made = self._once(
            f"worked-{readings}", lambda path: write_long(path, max(readings, 4) + 1, readings + 5, NOW)
        )
        return made, NUMBER

    @property
    def demo(self) -> Path:
        """The demo shop."""
        return self._once("demo", lambda path: build_demo(path.parent, SystemClock())[0].rename(path))

    def _once(self, name: str, make: Callable[[Path], object]) -> Path:
        path = self.folder / f"{name}.traveler"
        if name not in self._made:
            self._said(f"making {path.name}")
            make(path)
            self._made[name] = path
        return path
