"""A shop with registered people, their secrets hashed at no cost worth the name. All names are invented."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from acts_kit import NUMBER, HandClock, sheet
from cheap_secrets import CHEAP, make_cheap

from traveler.acts.change import Outcome, load_job
from traveler.acts.entered_person import EnteredPerson
from traveler.acts.issue import issue
from traveler.acts.people import NewPerson, register_person
from traveler.acts.readings import NewReading, record_reading
from traveler.acts.sign import accept, perform
from traveler.job.content import content_digest
from traveler.job.person import Person
from traveler.job.state import JobState
from traveler.record.secrets import Secret
from traveler.record.shop import Shop

OLGA, WIM, INES = "Olga Vance", "Wim Two", "Ines Okafor"
SECRETS = {OLGA: "beam 40x40", WIM: "welder 4711", INES: "looks twice 9", "Eva Lindqvist": "knows metal 3"}


def secret(name: str) -> Secret:
    return Secret(SECRETS[name])


@dataclass
class People:
    """A shop with an owner who inspects (P1), a welder (P2) and an inspector (P3), each with a secret."""

    shop: Shop
    clock: HandClock = field(default_factory=HandClock)
    number: str = NUMBER

    def begin(self) -> EnteredPerson:
        """Olga begins the register and brings in the others."""
        entered = NewPerson(OLGA, ["inspector"], {"141": "2026-01-05"})
        first = register_person(self.shop, self.clock, None, entered, new_secret=secret(OLGA))
        self.add(WIM, "welder", processes={"141": "2026-01-05"})
        self.add(INES, "inspector")
        return first

    def add(self, name: str, *roles: str, processes: dict[str, str] | None = None) -> EnteredPerson:
        return register_person(
            self.shop, self.clock, Person(OLGA), NewPerson(name, roles, processes or {}),
            new_secret=secret(name), secret=secret(OLGA),
        )  # fmt: skip

    def issue(self, raw: bytes | None = None) -> Outcome:
        return issue(
            self.shop, self.clock, Person(OLGA), sheet() if raw is None else raw, secret=secret(OLGA)
        )

    def record(self, step: int, quantity: str, value: str, by: str = WIM, **more: Any) -> Outcome:
        entered = NewReading(step, quantity, value, **more)
        return record_reading(self.shop, self.clock, Person(by), self.number, entered)

    def perform(self, step: int, by: str = WIM, given: str | None = None, **more: Any) -> Outcome:
        typed = secret(by) if given is None else Secret(given)
        return perform(self.shop, self.clock, Person(by), self.number, step, secret=typed, **more)

    def accept(self, step: int, by: str = INES, given: str | None = None, **more: Any) -> Outcome:
        typed = secret(by) if given is None else Secret(given)
        return accept(self.shop, self.clock, Person(by), self.number, step, secret=typed, **more)

    def preheated(self) -> None:
        self.record(10, "preheat temperature", "320 F", place="web")
        self.record(10, "preheat temperature", "310 F", place="flange")

    def through_preheat(self) -> None:
        self.preheated()
        assert self.perform(10).complies
        assert self.accept(10).complies

    def welded(self, by: str = WIM, **more: Any) -> None:
        self.record(20, "welder", by, **more)
        self.record(20, "filler lot", "lot 7", **more)
        self.record(20, "interpass temperature", "330 F", **more)
        self.record(20, "arc energy", "1.0 kJ/mm", **more)

    @property
    def state(self) -> JobState:
        return load_job(self.shop, self.number)

    def content(self, step: int) -> str:
        state = self.state
        found = state.step(step)
        assert found is not None
        return content_digest(state, found)

    def told(self, stream: str = "shop") -> list[dict[str, Any]]:
        """The events of a stream, without the times."""
        return [event.data for event in self.shop.events(stream)]

    def refused(self) -> list[dict[str, Any]]:
        """The acts of the signatures that were refused."""
        return [event["act"] for event in self.told() if event["kind"] == "signing refused"]


def shop_with_people(path: Path) -> tuple[Path, str]:
    """A shop file with the people and the job, for other processes; and Olga's recovery code."""
    make_cheap()
    with Shop.create(path) as shop:
        people = People(shop)
        code = people.begin().recovery_code
        people.issue()
        people.preheated()
    assert code is not None
    return path, code.reveal()


__all__ = ["CHEAP", "make_cheap"]
