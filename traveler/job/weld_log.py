"""Who welded on which day, out of the few events that say so: the same answer as folding whole jobs, for much less."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from traveler.job.fold import PERFORMED, RECORDED, SUPERSEDED
from traveler.job.person import Person, person_of
from traveler.job.qualification import WELDER, names_person, process_in
from traveler.job.state import ARC_ENERGY

SAYING = (WELDER, ARC_ENERGY)
"""Quantities of a weld step by which it is known who welded and when. Both are typed: no chart gives them."""

KINDS = (RECORDED, SUPERSEDED, PERFORMED)


@dataclass(frozen=True, slots=True)
class StepWelds:
    """Of one step of a job: the days on which runs were laid, who is named, and who signed it as performed."""

    step: int
    days: tuple[date, ...]
    welders: tuple[str, ...]
    signed: tuple[tuple[Person, date], ...]

    def days_of(self, person: Person) -> tuple[date, ...]:
        """When the person welded there, if it is a weld step: by what was recorded, else when they signed."""
        signed = tuple(day for by, day in self.signed if by.is_same_as(person))
        if signed or any(names_person(person, text) for text in self.welders):
            return self.days or signed
        return ()


@dataclass
class _Noted:
    days: dict[int, date] = field(default_factory=dict)
    welders: dict[int, str] = field(default_factory=dict)
    signed: list[tuple[Person, date]] = field(default_factory=list)


def step_welds(events: Iterable[Mapping[str, Any]]) -> Iterator[StepWelds]:
    """Of one job's events, in their order and without the others: readings of ``SAYING``, corrections, signatures."""
    steps: dict[int, _Noted] = {}
    standing: dict[int, tuple[int, date]] = {}
    for event in events:
        act, day = event["act"], datetime.fromisoformat(event["happened_at"]).date()
        match event["kind"]:
            case kind if kind == RECORDED:
                _note(steps, standing, act, day)
            case kind if kind == SUPERSEDED:
                _take_back(steps, standing, act)
            case kind if kind == PERFORMED:
                signature = (person_of(event["by"]), day)
                steps.setdefault(act["step"], _Noted()).signed.append(signature)
    for number, noted in steps.items():
        days = tuple(sorted(set(noted.days.values())))
        yield StepWelds(number, days, tuple(noted.welders.values()), tuple(noted.signed))


def processes(plan: Mapping[str, Any]) -> dict[int, str]:
    """ISO 4063 numbers by weld step, of a plan as its event froze it."""
    joints = [dict(row) for row in plan["joints"]]
    found = ((step["number"], process_in(step["kind"], step["joints"], joints)) for step in plan["steps"])
    return {number: process for number, process in found if process is not None}


def _note(
    steps: dict[int, _Noted], standing: dict[int, tuple[int, date]], act: Mapping[str, Any], day: date
) -> None:
    if act["quantity"] not in SAYING:
        return
    noted = steps.setdefault(act["step"], _Noted())
    standing[act["reading"]] = (act["step"], day)
    if act["quantity"] == WELDER:
        noted.welders[act["reading"]] = act["value"]
    else:
        noted.days[act["reading"]] = day


def _take_back(
    steps: dict[int, _Noted], standing: dict[int, tuple[int, date]], act: Mapping[str, Any]
) -> None:
    """A corrected reading is of the time of the one in whose place it stands."""
    if act["reading"] not in standing:
        return
    step, day = standing.pop(act["reading"])
    steps[step].days.pop(act["reading"], None)
    steps[step].welders.pop(act["reading"], None)
    if act["correction"]:
        _note(steps, standing, act["correction"], day)
