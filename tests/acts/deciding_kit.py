"""A shop without registered people in which much is decided: instruments, lots, holds, nonconformances.

All names, numbers and findings are invented.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from acts_kit import ADA, BRAM, NUMBER, Bench, HandClock, sheet
from shop_copies import copied

from traveler.acts.change import Outcome, load_job
from traveler.acts.instruments import NewInstrument, calibrated, register_instrument
from traveler.acts.issue import issue
from traveler.acts.look import look
from traveler.acts.register import Entered
from traveler.acts.signed_change import Signing
from traveler.job.acceptance import acceptance_stands
from traveler.job.person import Person
from traveler.job.state import JobState
from traveler.record.shop import Shop

EVA, CARL = Person("Eva Lindqvist"), Person("Carl Kunde")
OTHER = "A-102"


def other_job(raw: bytes) -> bytes:
    """The same sheet as another job."""
    return raw.replace(NUMBER.encode(), OTHER.encode())


def with_points(raw: bytes, number: int, *lines: str) -> bytes:
    """The sheet with hold or witness points at a step."""
    step = f"number = {number}\n"
    return raw.replace(step.encode(), (step + "".join(f"{line}\n" for line in lines)).encode())


@dataclass
class Deciding(Bench):
    """The bench with what is decided at it."""

    def signing(self, by: Person = ADA, content: str | None = None, number: str | None = None) -> Signing:
        return Signing(self.shop, self.clock, by, number or self.number, content)

    def probe(self, name: str = "contact probe", uncertainty: str | None = None) -> str:
        """A contact thermometer, calibrated from 5 January 2026 for a year; its id."""
        entered = NewInstrument(name, "contact thermometer", uncertainty=uncertainty)
        made = register_instrument(self.shop, self.clock, ADA, entered).register.instruments[-1].id
        self.calibrate(made, "2026-01-05", "2027-01-05")
        return made

    def calibrate(self, instrument: str, on: str, due: str) -> Entered:
        return calibrated(self.shop, self.clock, ADA, instrument, on, due, "C-1")

    def read_preheat(self, instrument: str | None, *values: str, **more: Any) -> list[int]:
        """Readings at as many places; their numbers."""
        return [
            self.record(
                10, "preheat temperature", value, place=f"place {place}", instrument=instrument, **more
            ).reading
            or 0
            for place, value in enumerate(values)
        ]

    def state(self, number: str | None = None) -> JobState:
        return load_job(self.shop, number or self.number)

    def stands(self, step: int) -> bool:
        state = self.state()
        found = state.step(step)
        assert found is not None
        return acceptance_stands(state, found)

    def seen(self, number: str | None = None) -> dict[str, Any]:
        """The traveler object."""
        return look(self.shop, self.clock, number or self.number)

    def verdict(self, step: int, quantity: str, number: str | None = None) -> tuple[str, str]:
        """Verdict on a requirement and its reason."""
        found = next(s for s in self.seen(number)["steps"] if s["number"] == step)
        wanted = next(r for r in found["requirements"] if r["quantity"] == quantity)
        return wanted["verdict"], wanted["verdict_reason"]

    def blocked(self, step: int) -> list[str]:
        return list(next(s for s in self.seen()["steps"] if s["number"] == step)["blocked_by"])

    def events_of(self, stream: str) -> list[dict[str, Any]]:
        return [event.data for event in self.shop.events(stream)]

    def at(self, iso: str) -> None:
        """Set the clock."""
        self.clock.instant = datetime.fromisoformat(iso)


def deciding(path: Path, *raws: bytes) -> Iterator[Deciding]:
    """A new shop file with the jobs in it, open until the test ends."""
    with Shop.create(path) as shop:
        clock = HandClock()
        for raw in raws or (sheet(),):
            assert issue(shop, clock, ADA, raw).recorded
        yield Deciding(shop, clock)


def deciding_copy(path: Path, *raws: bytes) -> Iterator[Deciding]:
    """As ``deciding``, copied from a file that is built once a run: quicker, and the same shop each time."""

    def build_deciding(original: Path) -> None:
        for _ in deciding(original, *raws):
            pass

    copied(path, build_deciding, raws)
    with Shop.open(path) as shop:
        yield Deciding(shop, HandClock())


def refused(outcome: Outcome | Entered) -> str:
    """The reasons of an act that was refused and left nothing behind."""
    assert not outcome.recorded
    assert not outcome.complies
    return "; ".join(outcome.reasons)


__all__ = ["ADA", "BRAM", "CARL", "EVA", "NUMBER", "OTHER"]
