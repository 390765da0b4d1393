"""What people welded in the jobs of the shop, without working out every job."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import groupby

from traveler.job.fold import ISSUED, REVISED
from traveler.job.person import Person
from traveler.job.qualification import Weld
from traveler.job.register import RegisteredPerson
from traveler.job.weld_log import KINDS, SAYING, StepWelds, processes, step_welds
from traveler.record.shop import Shop


class Welds:
    """Who welded when, as the jobs said at one moment. By which process their plans say, read where it is asked."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._processes: dict[str, dict[int, str]] = {}
        texts = tuple(f'"quantity":"{quantity}"' for quantity in SAYING)
        recorded, *others = KINDS
        found = shop.events_saying({recorded: texts, **dict.fromkeys(others, ())})
        self._steps: Mapping[str, tuple[StepWelds, ...]] = {
            stream: tuple(step_welds(event.data for event in events))
            for stream, events in groupby(found, key=lambda event: event.stream)
        }

    def of(self, person: Person) -> tuple[Weld, ...]:
        """Every day on which a person welded, with the process."""
        return tuple(
            (process, day)
            for stream, step, day in self._days(person)
            if (process := self._process(stream, step)) is not None
        )

    def that_count(self, entry: RegisteredPerson, process: str, days: Sequence[date]) -> tuple[Weld, ...]:
        """Those that have a say in whether a person was qualified for a process on ``days``, a day once.

        That is since they were last shown to weld by it before the first of the days, and before the last of them: what
        was shown counts whatever was before. One plan a day is looked at, where it is of the process.
        """
        shown = [use.on for use in entry.uses if use.process == process and use.on <= max(days)]
        if not shown:
            return ()
        since = max((on for on in shown if on <= min(days)), default=min(shown))
        counted: set[date] = set()
        for stream, step, day in self._days(entry.acting("stated")):
            new = since <= day < max(days) and day not in counted
            if new and self._process(stream, step) == process:
                counted.add(day)
        return tuple((process, day) for day in sorted(counted))

    def _days(self, person: Person) -> Iterator[tuple[str, int, date]]:
        for stream, steps in self._steps.items():
            for step in steps:
                for day in step.days_of(person):
                    yield stream, step.step, day

    def _process(self, stream: str, step: int) -> str | None:
        """The plan of a job is read once."""
        if stream not in self._processes:
            issued = self._shop.last_event(stream, (ISSUED, REVISED))
            self._processes[stream] = processes(issued.data["act"]["plan"])
        return self._processes[stream].get(step)
