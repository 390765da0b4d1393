"""Who welded when: the narrow look over the events of all jobs, held against every job worked out. All is invented."""

import contextlib
import random
from collections.abc import Iterator
from datetime import date, datetime, timedelta, timezone
from pathlib import Path

import pytest
from acts_kit import sheet
from people_kit import CHEAP, INES, OLGA, WIM, People, secret

from traveler.acts.change import load_job
from traveler.acts.issue import revise
from traveler.acts.people import change_person, show_process
from traveler.acts.people_look import look_at_people
from traveler.acts.readings import supersede
from traveler.acts.register import register_of
from traveler.acts.welds import Welds
from traveler.errors import TravelerError
from traveler.job.person import Person
from traveler.job.qualification import valid_on, welds_of
from traveler.record import secrets
from traveler.record.shop import Shop

AUTUMN = datetime(2026, 11, 20, 12, tzinfo=timezone(timedelta(hours=1)))
PROCESSES = ("141", "135")


@pytest.fixture(autouse=True)
def cheap_secrets(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def people(tmp_path: Path) -> Iterator[People]:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        found = People(shop)
        found.clock.instant = AUTUMN
        found.begin()
        yield found


def job_sheet(number: str, process: str) -> bytes:
    """The job of the kit under another number and process."""
    raw = sheet().replace(b'number = "A-101"', f'number = "{number}"'.encode())
    return raw.replace(b'process = "141"', f'process = "{process}"'.encode())


def happen(people: People, dice: random.Random) -> None:
    """One thing that may happen in a shop, as it comes; what is refused changes nothing."""
    number = dice.choice(people.shop.job_numbers())
    people.number = number
    day = date(2026, 1, 10) + timedelta(days=dice.randrange(300))
    at = f"{day}T10:00+01:00"
    readings = [
        reading.number for reading in load_job(people.shop, number).readings if not reading.superseded
    ]
    match dice.randrange(8):
        case 0:
            people.record(
                20, "welder", dice.choice([WIM, "p2", INES, "Wim Earlier", "nobody we know"]), at=at
            )
        case 1 | 2:
            people.record(20, "arc energy", "1.0 kJ/mm", at=at)
        case 3:
            people.record(20, "interpass temperature", "330 F", at=at)
        case 4:
            people.perform(dice.choice([10, 20]), by=dice.choice([WIM, INES]))
        case 5 if readings:
            value = dice.choice([None, WIM, "P3", "1.1 kJ/mm", "340 F"])
            chosen = dice.choice(readings)
            with contextlib.suppress(
                TravelerError
            ):  # a name where a number belongs; signed over, it takes a secret
                supersede(people.shop, people.clock, Person(WIM), number, chosen, value, "typed wrong")
        case 6:
            raw = job_sheet(number, dice.choice(PROCESSES))
            revise(people.shop, people.clock, Person(OLGA), number, raw, "changed", secret=secret(OLGA))
        case _:
            show_process(
                people.shop, people.clock, Person(OLGA), dice.choice(["P2", "P3"]), dice.choice(PROCESSES),
                day.isoformat(), "test piece", secret=secret(OLGA),
            )  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_the_narrow_look_says_what_every_job_worked_out_says(people: People, seed: int) -> None:
    dice = random.Random(seed)
    for number in ("B-1", "B-2", "B-3"):
        people.issue(job_sheet(number, dice.choice(PROCESSES)))
    people.number = "B-1"
    people.welded(at="2026-03-01T10:00+01:00")
    for _ in range(45):
        happen(people, dice)
        people.clock.pass_by(1)
    change_person(
        people.shop, people.clock, Person(OLGA), "P3", "married", name="Ines Anders", secret=secret(OLGA)
    )
    states = [load_job(people.shop, number) for number in people.shop.job_numbers()]
    register, welds = register_of(people.shop), Welds(people.shop)
    welded = 0
    for entry in register.people:
        long_way = tuple(welds_of(states, entry.acting("stated")))
        welded += len(long_way)
        assert sorted(welds.of(entry.acting("stated"))) == sorted(long_way)
        for process in PROCESSES:
            for _ in range(12):
                days = [
                    date(2026, 1, 5) + timedelta(days=dice.randrange(330)) for _ in range(dice.randint(1, 3))
                ]
                counting = welds.that_count(entry, process, days)
                for day in days:
                    assert valid_on(register, entry.id, process, day, counting) == valid_on(
                        register, entry.id, process, day, long_way
                    )
    assert welded


def test_a_chain_of_welds_keeps_a_welder_qualified_at_signing(people: People) -> None:
    """Shown in January; jobs in May and October keep it alive, and the list of people says so as well."""
    for number, day in (("B-1", "2026-05-20"), ("B-2", "2026-10-01"), ("B-3", "2026-11-19")):
        people.issue(job_sheet(number, "141"))
        people.number = number
        people.welded(at=f"{day}T10:00+01:00")
        people.perform(20)
    kept = people.state.performed[-1].qualification
    assert kept is not None
    assert (kept["valid"], kept["reason"]) == (True, "141 last used on 2026-10-01; good until 2027-04-01")
    listed = next(entry for entry in look_at_people(people.shop, people.clock) if entry["person"] == "P2")
    assert listed["processes"][0]["until"] == "2027-05-19"


def test_only_the_plans_of_the_days_that_count_are_read(
    people: People, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Twenty jobs welded on one day take one plan, those from before the last test piece none."""
    for number in range(20):
        people.number = f"C-{number}"
        people.issue(job_sheet(people.number, "141"))
        people.welded(at="2026-05-20T10:00+01:00")
    people.number = "C-old"
    people.issue(job_sheet("C-old", "141"))
    people.welded(at="2025-05-20T10:00+01:00")
    asked: list[str] = []
    last_event = people.shop.last_event

    def counted(stream: str, kinds: tuple[str, ...]) -> object:
        asked.append(stream)
        return last_event(stream, kinds)

    monkeypatch.setattr(people.shop, "last_event", counted)
    entry = register_of(people.shop).person("P2")
    assert Welds(people.shop).that_count(entry, "141", [date(2026, 11, 1)]) == (("141", date(2026, 5, 20)),)
    assert len(asked) == 1
