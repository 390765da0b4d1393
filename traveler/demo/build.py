"""Build the demo shop, through the acts alone: it could have been typed."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from traveler.acts.change import Outcome
from traveler.acts.chart_asked import Asked
from traveler.acts.charts import NewChart, attach_chart
from traveler.acts.clock import Clock
from traveler.acts.issue import close, issue, revise
from traveler.acts.nonconformance import decide_disposition, open_nonconformance, propose
from traveler.acts.outside import NewSending, send
from traveler.acts.parts import Amount, install, register_part, set_interval, use
from traveler.acts.parts import Signing as PartSigning
from traveler.acts.pieces import join, split
from traveler.acts.readings import NewReading, attach, record_reading, retry, supersede
from traveler.acts.register import Entered
from traveler.acts.sign import accept, perform
from traveler.acts.signed_change import Signing
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


def _act(shop: Shop, happening: Happening, sheet: bytes) -> Outcome | Entered:
    clock, person = SetClock(happening.at), Person(happening.by)
    number, step = happening.job, happening.step
    match happening.entry:
        case {"issue": True}:
            return issue(shop, clock, person, sheet)
        case {"revise": True, "because": because}:
            return revise(shop, clock, person, number, sheet, because)
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
        case {"part": str(serial)} as entry:
            return _of_a_part(shop, happening, serial, entry)
        case entry:
            return _decided(Signing(shop, clock, person, number), step, entry)


def _decided(signing: Signing, step: int, entry: Mapping[str, Any]) -> Outcome:
    """What is signed besides the steps: work at a vendor, pieces that go elsewhere, nonconformances."""
    match entry:
        case {"send": requirement, "back_in_days": int(days)}:
            back = signing.clock.now().date() + timedelta(days=days)
            return send(signing, step, NewSending(requirement=requirement, expected=back.isoformat()))
        case {"split": str(new), "serials": serials, "because": because}:
            return split(signing, new, len(serials), serials, because)
        case {"join": str(component), "serials": serials}:
            return join(signing, component, len(serials), serials)
        case {"nonconformance": str(what)}:
            return open_nonconformance(signing, step, what)
        case {"propose": disposition, "of": int(number), "instruction": instruction}:
            return propose(signing, number, disposition, instruction)
        case {"approve": int(number)}:
            return decide_disposition(signing, number, True)
        case _:
            raise TravelerError(f"demo job {signing.number}: no act is called {sorted(entry)}")


def _of_a_part(shop: Shop, happening: Happening, serial: str, entry: Mapping[str, Any]) -> Entered:
    """What befell a part that came out of a closed job."""
    clock, by = SetClock(happening.at), PartSigning(Person(happening.by))
    match entry:
        case {"registered": True}:
            return register_part(shop, clock, by, happening.job, serial)
        case {"every": amount, "because": because}:
            return set_interval(shop, clock, by, serial, Amount(**amount), because)
        case {"onto": str(car)}:
            return install(shop, clock, by, serial, car)
        case {"used": str(what), "amount": amount}:
            return use(shop, clock, by, serial, what, Amount(**amount))
        case _:
            raise TravelerError(f"demo job {happening.job}: nothing of a part is called {sorted(entry)}")


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
