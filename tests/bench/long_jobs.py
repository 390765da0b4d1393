"""A shop file with few jobs of very many readings, by seed: up to millions of events.

Jobs are issued by the act. The forms of their readings are those that the act writes of the first joint; the others are
these again, joint after joint and run after run with values of their own, appended by the record layer, links and
triggers and all, many in a transaction so that the disk is waited for seldom. The lines on the board are worked out of
the events as every act does. A job after the first is the first again under a number of its own.
"""

import math
import random
from collections.abc import Iterator, Mapping
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from many_jobs import BATCH, PEOPLE, GoingOn, Model, append_model, names_of

from traveler.acts.issue import issue
from traveler.acts.readings import NewReading, record_reading
from traveler.job.board import as_recorded
from traveler.job.fold import fold
from traveler.record.shop import Shop

READINGS_A_JOINT = 50
"""Two of the preheat, the others of 24 runs."""
OF_PREHEAT = ("web", "flange")
NUMBER = "N-00001"


def sheet(joints: int) -> str:
    """A job with so many joints of one thickness, each with a preheat and a weld."""
    lines = [
        "# Invented data.", "[job]", f'number = "{NUMBER}"', 'title = "Model title"', 'part = "model part"',
        'units = "inch"', 'decides = "welding engineer"', "[[material]]", 'id = "tab"', 'grade = "4130"',
        'condition = "normalized"', 'heat_number = "H4130"', 'certificate = "3.1"', "[[filler]]", 'id = "rod"',
        'classification = "ER70S-2"', 'hydrogen = "H5"',
    ]  # fmt: skip
    member = '{ material = "tab", form = "plate", thickness = "1/4 in" }'
    for joint in range(1, joints + 1):
        lines += [
            "[[joint]]", f'id = "J{joint}"', 'type = "T fillet"', 'process = "141"', 'filler = "rod"',
            'arc_energy = "1.0 kJ/mm"', 'restraint = "medium"', f"member = [{member}, {member}]",
        ]  # fmt: skip
    for joint in range(1, joints + 1):
        for place, kind in ((1, "preheat"), (2, "weld")):
            lines += [
                "[[step]]",
                f"number = {20 * joint + 10 * place}",
                f'kind = "{kind}"',
                f'joint = "J{joint}"',
            ]
    return "\n".join([*lines, ""])


def write_long(path: Path, events: int, events_a_job: int, now: datetime, seed: int = 4130) -> None:
    """A new shop file with so many events of jobs, the last job shorter where they do not come out even."""
    chance = random.Random(seed)
    with Shop.create(path) as shop:
        model = _first(shop, min(events, events_a_job), now, chance)
        for number in range(2, math.ceil(events / events_a_job) + 1):
            left = events - (number - 1) * events_a_job
            with shop.write() as writing:
                append_model(writing, shop.shop_id, _cut(model, left), names_of(number, chance))


def _first(shop: Shop, events: int, now: datetime, chance: random.Random) -> Model:
    """The job that the others are made of: its sheet is issued, its first readings are recorded by the act."""
    clock, welder = GoingOn(now - timedelta(hours=48)), PEOPLE[0]
    issue(shop, clock, PEOPLE[1], sheet(math.ceil((events - 1) / READINGS_A_JOINT)).encode())
    stream = f"job {NUMBER}"
    for step, quantity, value, place in (
        *((30, "preheat temperature", "320 F", place) for place in OF_PREHEAT),
        (40, "interpass temperature", "330 F", None),
        (40, "arc energy", "1.0 kJ/mm", None),
    ):
        record_reading(
            shop,
            clock,
            welder,
            NUMBER,
            NewReading(step, quantity, value, place=place, instrument="contact thermometer"),
        )
    _, *forms = (event.data for event in shop.events(stream))
    more = _readings([form["act"] for form in forms], chance)
    left = events - 1 - len(forms)
    while left > 0:
        with shop.write() as writing:
            for act, _ in zip(more, range(min(left, BATCH)), strict=False):
                at = clock.later(seconds=20).isoformat(timespec="seconds")
                writing.append(stream, forms[0]["kind"], forms[0]["by"], at, at, act)
        left -= BATCH
    with shop.write() as writing:
        found = writing.events(stream)
        row = as_recorded(fold(event.data for event in found))
        writing.put_board_row(row)
    return Model(found, row)


def _readings(forms: list[Mapping[str, Any]], chance: random.Random) -> Iterator[dict[str, Any]]:
    """The readings after the first four, without end: what is left of joint 1, then joint after joint."""
    heat, _, between, energy = forms
    number = len(forms)
    joint = 0
    while True:
        joint += 1
        runs = (READINGS_A_JOINT - len(OF_PREHEAT)) // 2
        taken: list[Mapping[str, Any]] = [
            _typed(heat, 300, 340, chance) | {"place": place} for place in OF_PREHEAT
        ]
        for run in range(1, runs + 1):
            taken += [_typed(between, 310, 390, chance) | {"run": run}, {**energy, "run": run}]
        for act in taken[len(forms) if joint == 1 else 0 :]:
            number += 1
            yield {**act, "reading": number, "step": act["step"] + 20 * (joint - 1), "joint": f"J{joint}"}


def _typed(form: Mapping[str, Any], least: int, most: int, chance: random.Random) -> dict[str, Any]:
    value = str(chance.randint(least, most))
    return {**form, "value": value, "typed": f"{value} F"}


def _cut(model: Model, events: int) -> Model:
    if events >= len(model.events):
        return model
    found = model.events[:events]
    return Model(found, as_recorded(fold(event.data for event in found)))
