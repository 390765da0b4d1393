"""Build the demo shop, through the acts alone: it could have been typed."""

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from traveler.acts.change import Outcome
from traveler.acts.chart_asked import Asked
from traveler.acts.charts import NewChart, attach_chart
from traveler.acts.clock import Clock
from traveler.acts.issue import close, issue
from traveler.acts.readings import NewReading, attach, record_reading, retry, supersede
from traveler.acts.sign import accept, perform
from traveler.chart.model import Told
from traveler.demo.script import Happening, happenings, kept_file, sheets
from traveler.errors import TravelerError
from traveler.job.state import Person
from traveler.record.shop import Shop

FILE_NAME = "demo-shop.traveler"
WAITS_FOR_A_READING = "DEMO-2"
"""The job whose preheat lacks a reading: the demo opens there."""


class SetClock:
    """A clock that stands where it was set, so that the demo's past is written at its own times."""

    def __init__(self, instant: datetime) -> None:
        self.instant = instant

    def now(self) -> datetime:
        """The instant to which it was set."""
        return self.instant


def build_demo(folder: Path, clock: Clock) -> tuple[Path, str]:
    """A new demo shop in ``folder``: its file, and the number of the job that waits for a reading.

    Every time is taken back from the clock's now. Raises TravelerError where the file is there already or cannot
    be made.
    """
    path = folder / FILE_NAME
    by_number = sheets()
    with Shop.create(path) as shop:
        for happening in happenings(clock.now()):
            outcome = _act(shop, happening, by_number[happening.job])
            if not outcome.recorded:
                reasons = "; ".join(outcome.reasons)
                raise TravelerError(f"demo job {happening.job}: {outcome.message} ({reasons})")
    return path, WAITS_FOR_A_READING


def _act(shop: Shop, happening: Happening, sheet: bytes) -> Outcome:
    clock, person = SetClock(happening.at), Person(happening.by)
    number, step = happening.job, happening.step
    match happening.entry:
        case {"issue": True}:
            return issue(shop, clock, person, sheet)
        case {"record": str()} as entry:
            return record_reading(shop, clock, person, number, _reading(step, entry))
        case {"supersede": int(reading), "value": value, "because": because}:
            return supersede(shop, clock, person, number, reading, value, because)
        case {"retry": str(quantity), "because": because}:
            return retry(shop, clock, person, number, step, quantity, None, because)
        case {"attach": str(name), "as": role}:
            return attach(shop, clock, person, number, step, name, kept_file(name), role)
        case {"chart": str(name)} as entry:
            return attach_chart(shop, clock, person, number, _chart(step, name, entry))
        case {"sign": "performed"}:
            return perform(shop, clock, person, number, step)
        case {"sign": "accepted"}:
            return accept(shop, clock, person, number, step)
        case {"close": True}:
            return close(shop, clock, person, number)
        case entry:
            raise TravelerError(f"demo job {number}: no act is called {sorted(entry)}")


def _chart(step: int, name: str, entry: Mapping[str, Any]) -> NewChart:
    told = Told(couples=tuple(entry["couples"]), furnace=tuple(entry["furnace"]))
    asked = Asked(told, loaded=entry["loaded"], uncertainty=entry["uncertainty"])
    return NewChart(step, name, lambda: (kept_file(name),), asked)


def _reading(step: int, entry: Mapping[str, Any]) -> NewReading:
    return NewReading(
        step,
        entry["record"],
        entry["value"],
        place=entry.get("place"),
        instrument=entry.get("instrument"),
    )
