"""Small tools of these tests: an invented job of four steps, a clock that is set by hand, a child process."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from children import finish, start
from sheet_parts import ROD_AND_TEE
from shop_copies import copied

from traveler.acts.change import Outcome
from traveler.acts.issue import issue
from traveler.acts.readings import NewReading, record_reading
from traveler.acts.sign import accept, perform
from traveler.job.state import Person
from traveler.record.shop import Shop

NUMBER = "A-101"
STREAM = f"job {NUMBER}"
MORNING = datetime(2026, 3, 2, 7, 0, tzinfo=timezone(timedelta(hours=1)))
ADA, BRAM, CLEO = Person("Ada Lund"), Person("Bram Ortega"), Person("Cleo Nakamura")  # invented

HEADER = (
    """\
# Invented data: a tab of no real car.
[job]
number = "A-101"
title = "{title}"
units = "inch"
decides = "welding engineer"

[[material]]
id = "tab"
grade = "4130"
condition = "normalized"
heat_number = "Q4471"
certificate = "3.1"
composition = {{ C = 0.30, Si = 0.25, Mn = 0.50, Cr = 0.95, Mo = 0.19 }}

"""
    + ROD_AND_TEE
    + """\
restraint = "medium"
member = [{{ material = "tab", form = "plate", thickness = "{thickness}" }},
          {{ material = "tab", form = "plate", thickness = "{thickness}" }}]
"""
)
ROUTE = ((10, "preheat"), (20, "weld"), (30, "hydrogen release"), (40, "inspect"))


def sheet(
    thickness: str = "1/4 in", title: str = "Link tab, invented", route: tuple[tuple[int, str], ...] = ROUTE
) -> bytes:
    """A job sheet of one joint of 4130 with its own short route."""
    steps = "".join(
        f'\n[[step]]\nnumber = {number}\nkind = "{kind}"\n'
        + ('joint = "J1"\n' if kind in ("preheat", "weld", "hydrogen release") else "")
        for number, kind in route
    )
    return (HEADER.format(thickness=thickness, title=title) + steps).encode()


@dataclass
class HandClock:
    """A clock that stands still until somebody moves it."""

    instant: datetime = MORNING

    def now(self) -> datetime:
        return self.instant

    def pass_by(self, minutes: float) -> None:
        self.instant += timedelta(minutes=minutes)


@dataclass
class Bench:
    """A shop with one job on it, and the acts with most of their arguments filled in."""

    shop: Shop
    clock: HandClock
    number: str = NUMBER

    def record(self, step: int, quantity: str, value: str, **more: Any) -> Outcome:
        by = more.pop("by", BRAM)
        return record_reading(
            self.shop, self.clock, by, self.number, NewReading(step, quantity, value, **more)
        )

    def perform(self, step: int, by: Person = BRAM, runs: int | None = None) -> Outcome:
        return perform(self.shop, self.clock, by, self.number, step, runs)

    def accept(self, step: int, by: Person = ADA, content: str | None = None) -> Outcome:
        return accept(self.shop, self.clock, by, self.number, step, content)

    def bodies(self) -> list[dict[str, Any]]:
        """The events as they are stored, parsed with nothing of ours."""
        return [json.loads(event.body) for event in self.shop.events(f"job {self.number}")]

    def preheated(self) -> None:
        self.record(10, "preheat temperature", "320 F", place="web")
        self.record(10, "preheat temperature", "310 F", place="flange")

    def through_preheat(self) -> None:
        self.preheated()
        self.perform(10)
        assert self.accept(10).recorded

    def run_of_weld(self, temperature: str = "330 F") -> None:
        self.record(20, "interpass temperature", temperature)
        self.record(20, "arc energy", "1.0 kJ/mm")

    def through_weld(self) -> None:
        self.record(20, "welder", "B. Ortega")
        self.record(20, "filler lot", "lot 7")
        self.run_of_weld()
        self.run_of_weld()
        self.perform(20, runs=2)
        assert self.accept(20).recorded

    def through_everything(self) -> None:
        self.through_preheat()
        self.through_weld()
        self.record(30, "cooling after welding", "slow cooled under cover")
        self.record(30, "uncovering temperature", "120 F")
        self.perform(30)
        assert self.accept(30).recorded
        self.clock.pass_by(49 * 60)
        self.record(40, "wait before test", "49 h")
        self.record(40, "visual result", "accepted")
        self.record(40, "crack test", "no relevant indications")
        self.perform(40)
        assert self.accept(40).recorded


def issued_copy(path: Path, raw: bytes | None = None, number: str = NUMBER) -> Iterator[Bench]:
    """As ``issued``, copied from a file that is built once a run: quicker, and the same shop each time."""

    def build_issued(original: Path) -> None:
        for _ in issued(original, raw, number):
            pass

    copied(path, build_issued, raw)
    with Shop.open(path) as shop:
        yield Bench(shop, HandClock(), number)


def issued(path: Path, raw: bytes | None = None, number: str = NUMBER) -> Iterator[Bench]:
    """A new shop file with the job in it, open until the test ends."""
    with Shop.create(path) as shop:
        clock = HandClock()
        issue(shop, clock, ADA, sheet() if raw is None else raw)
        yield Bench(shop, clock, number)


__all__ = ["finish", "start"]
