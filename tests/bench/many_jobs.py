"""A shop file with thousands of jobs, by seed.

A few dozen jobs are worked by the acts, as anybody would. The others are these again under a number, a title and a
part of their own: their events are appended by the record layer, links and triggers and all, and their lines on the
board put in the same transactions. Working each by the acts would take an hour. A test verifies such a file, and so
holds the lines against the events.
"""

import json
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from traveler.acts.issue import close, issue
from traveler.acts.nonconformance import open_nonconformance
from traveler.acts.readings import NewReading, record_reading
from traveler.acts.sign import accept, perform
from traveler.acts.signed_change import Signing
from traveler.job.person import Person, plain_name
from traveler.record.rows import BoardRow, StoredEvent
from traveler.record.shop import Shop, Writing

SHEET = """\
# Invented data.
[job]
number = "{number}"
title = "{title}"
part = "{part}"
units = "inch"
decides = "welding engineer"

[[material]]
id = "tab"
grade = "4130"
condition = "normalized"
heat_number = "{heat}"
certificate = "3.1"

[[filler]]
id = "rod"
classification = "ER70S-2"
hydrogen = "H5"

[[joint]]
id = "J1"
type = "T fillet"
process = "141"
filler = "rod"
arc_energy = "1.0 kJ/mm"
restraint = "medium"
member = [{{ material = "tab", form = "plate", thickness = "1/4 in" }},
          {{ material = "tab", form = "plate", thickness = "1/4 in" }}]

[[step]]
number = 10
kind = "preheat"
joint = "J1"

[[step]]
number = 20
kind = "weld"
joint = "J1"

[[step]]
number = 30
kind = "hydrogen release"
joint = "J1"

[[step]]
number = 40
kind = "inspect"
"""
PEOPLE = [
    Person(f"{first} {last}") for first in ("Ana", "Bram", "Cleo") for last in ("Lund", "Ortega", "Vance")
]
THINGS = ("Link tab", "Seat bracket", "Damper mount", "Wing stay", "Battery tray", "Pedal stop")
VARIANTS = 4
"""Of each story so many, with other people and heats."""
ENDED_SHARE = 0.7
BATCH = 500


@dataclass
class GoingOn:
    """A clock that goes on by some minutes each time that it is asked."""

    instant: datetime

    def now(self) -> datetime:
        """The next moment of work."""
        return self.later(minutes=3)

    def later(self, **by: float) -> datetime:
        """The moment so much later, which is the present one then."""
        self.instant += timedelta(**by)
        return self.instant


@dataclass
class Worked(GoingOn):
    """One job in the middle of its work, on a clock of its own."""

    shop: Shop
    number: str
    welder: Person
    inspector: Person

    def record(self, step: int, quantity: str, value: str, place: str | None = None) -> None:
        """A reading of the welder."""
        entered = NewReading(step, quantity, value, place=place, instrument="contact thermometer")
        record_reading(self.shop, self, self.welder, self.number, entered)

    def sign(self, step: int, runs: int | None = None) -> None:
        """Performed by the welder, accepted by the inspector."""
        perform(self.shop, self, self.welder, self.number, step, runs)
        accepted = accept(self.shop, self, self.inspector, self.number, step)
        if not accepted.recorded:
            raise RuntimeError(f"step {step}: {accepted.reasons}")

    def heated(self) -> None:
        """Both readings of the preheat."""
        self.record(10, "preheat temperature", "320 F", "web")
        self.record(10, "preheat temperature", "310 F", "flange")

    def preheated(self) -> None:
        """The preheat, to its end."""
        self.heated()
        self.sign(10)

    def cold(self) -> None:
        """A preheat that is too cold."""
        self.record(10, "preheat temperature", "120 F", "web")

    def welded(self) -> None:
        """Preheat and weld."""
        self.preheated()
        self.record(20, "welder", self.welder.name)
        self.record(20, "filler lot", f"lot {self.number[-1]}")
        for _ in range(2):
            self.record(20, "interpass temperature", "330 F")
            self.record(20, "arc energy", "1.0 kJ/mm")
        self.sign(20, 2)
        self.record(30, "cooling after welding", "slow cooled under cover")
        self.record(30, "uncovering temperature", "120 F")
        self.sign(30)

    def questioned(self) -> None:
        """Welded, with a nonconformance that waits for somebody."""
        self.welded()
        open_nonconformance(
            Signing(self.shop, self, self.welder, self.number), 40, "a scratch across the web"
        )

    def closed(self) -> None:
        """Everything, and closed."""
        self.welded()
        self.instant += timedelta(hours=50)
        self.record(40, "wait before test", "50 h")
        self.record(40, "visual result", "accepted")
        self.record(40, "crack test", "no relevant indications")
        self.sign(40)
        if not close(self.shop, self, self.inspector, self.number).recorded:
            raise RuntimeError("a model job is not closed")


STORIES: Sequence[tuple[str, float, Callable[[Worked], None]]] = (
    ("issued", 2, lambda job: None),
    ("heating", 1, lambda job: job.record(10, "preheat temperature", "320 F", "web")),
    ("heated", 1, Worked.heated),
    ("cold", 1, Worked.cold),
    ("preheated", 2, Worked.preheated),
    ("welded today", 20, Worked.welded),
    ("welded last week", 170, Worked.welded),
    ("questioned", 90, Worked.questioned),
)
"""The stories of open jobs, so many hours ago."""
ENDED = ("closed", 900.0, Worked.closed)


@dataclass(frozen=True)
class Model:
    """A worked job: its events and its line."""

    events: list[StoredEvent]
    row: BoardRow


def write_shop(path: Path, jobs: int, now: datetime, seed: int = 4130) -> None:
    """A new shop file with so many jobs, about a third of them open."""
    chance = random.Random(seed)
    models = _models(now, seed)
    ended = [model for model in models if model.row.need == "nothing"]
    going_on = [model for model in models if model.row.need != "nothing"]
    with Shop.create(path) as shop:
        numbers = iter(range(1, jobs + 1))
        while batch := [number for number, _ in zip(numbers, range(BATCH), strict=False)]:
            with shop.write() as writing:
                for number in batch:
                    model = chance.choice(ended if chance.random() < ENDED_SHARE else going_on)
                    append_model(writing, shop.shop_id, model, names_of(number, chance))


def append_model(writing: Writing, shop_id: str, model: Model, names: tuple[str, str, str]) -> None:
    """The events of a worked job and its line once more, under a number, a title and a part of their own."""
    row = _line(model.row, names)
    for event in model.events:
        data, act = event.data, _act(event, model.row, names, shop_id)
        writing.append(
            f"job {row.number}", data["kind"], data["by"], data["happened_at"], data["recorded_at"], act
        )
    writing.put_board_row(row)


@cache
def _models(now: datetime, seed: int) -> list[Model]:
    """Worked out once for all files of one moment and seed."""
    chance = random.Random(seed)
    with TemporaryDirectory() as folder, Shop.create(Path(folder) / "models.traveler") as shop:
        for variant in range(VARIANTS):
            for at, (_, hours, work) in enumerate((*STORIES, ENDED)):
                welder, inspector = chance.sample(PEOPLE, 2)
                number = f"MODEL-{variant}-{at}"
                names = {"title": f"Model title {number}", "part": f"model part {number}"}
                job = Worked(now - timedelta(hours=hours + variant / 2), shop, number, welder, inspector)
                sheet = SHEET.format(number=number, heat=f"H{chance.randrange(1000, 9999)}", **names)
                issue(shop, job, inspector, sheet.encode())
                work(job)
        return [Model(shop.events(f"job {row.number}"), row) for row in shop.board()]


def names_of(number: int, chance: random.Random) -> tuple[str, str, str]:
    """Number, title and part of the job that is the so many-th of the file."""
    thing = chance.choice(THINGS)
    return f"N-{number:05d}", f"{thing} {number}, invented", f"{thing[:2].upper()}-{chance.randrange(100)}"


def _line(row: BoardRow, names: tuple[str, str, str]) -> BoardRow:
    number, title, part = names
    words = row.words.split("\n")
    return replace(
        row,
        number=number,
        title=title,
        part=part,
        words="\n".join([*(plain_name(name) for name in names), *words[len(names) :]]),
    )


def _act(event: StoredEvent, row: BoardRow, names: tuple[str, str, str], shop_id: str) -> dict[str, object]:
    act = event.data["act"]
    if event.seq > 1:
        return dict(act)
    text = json.dumps(act)
    number, title, part = names
    for old, new in ((row.title, title), (row.part, part), (row.number, number)):
        text = text.replace(old, new)
    return {**json.loads(text), "shop": shop_id}
