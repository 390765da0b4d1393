"""Logs of the version before there was a register fold as they did: the same limits, verdicts, digests and words.

``fixtures/logs`` holds two jobs of the demo shop as that version exported them.
"""

import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from traveler.job.fold import extend, fold
from traveler.job.gate import acceptance_stands
from traveler.job.view import traveler_object

LOGS = sorted((Path(__file__).parents[2] / "fixtures" / "logs").glob("*.json"))
names = pytest.mark.parametrize("path", LOGS, ids=lambda path: path.stem)


def differences(then: Any, now: Any, place: str = "") -> Iterator[str]:
    """What was printed then and is not printed so today; keys that came later may say nothing of an old log."""
    if isinstance(then, dict) and isinstance(now, dict):
        for key in then:
            yield from differences(then[key], now.get(key, "missing"), f"{place}.{key}")
        for key in now.keys() - then.keys():
            if now[key] not in (None, [], {}, ""):
                yield f"{place}.{key} is new and says {now[key]!r}"
    elif isinstance(then, list) and isinstance(now, list) and len(then) == len(now):
        for index, (one, other) in enumerate(zip(then, now, strict=True)):
            yield from differences(one, other, f"{place}[{index}]")
    elif then != now:
        yield f"{place} was {then!r} and is {now!r}"


def test_there_are_logs_of_a_closed_and_of_an_open_job() -> None:
    states = {json.loads(path.read_text())["traveler"]["state"] for path in LOGS}
    assert states == {"closed", "in process"}


@names
def test_what_was_printed_is_printed_still(path: Path) -> None:
    export = json.loads(path.read_text())
    state = fold(map(json.loads, export["events"]), export["head"])
    assert state.last_moment is not None
    now = traveler_object(state, datetime.fromisoformat(state.last_moment.recorded_at))
    assert list(differences(export["traveler"], json.loads(json.dumps(now)))) == []


@names
def test_every_acceptance_stands_at_the_moment_it_was_given(path: Path) -> None:
    """The digests that were written then are those that come out now."""
    state = None
    accepted = 0
    for text in json.loads(path.read_text())["events"]:
        event = json.loads(text)
        state = fold([event]) if state is None else extend(state, event, "")
        if event["kind"] == "step accepted":
            step = state.step(event["act"]["step"])
            assert step is not None
            assert acceptance_stands(state, step)
            accepted += 1
    assert accepted


@names
def test_a_digest_notices_an_altered_digit(path: Path) -> None:
    """The comparison above bites."""
    events = [json.loads(text) for text in json.loads(path.read_text())["events"]]
    for event in events:
        if event["kind"] == "reading recorded" and event["act"]["unit"] == "degF":
            event["act"]["value"] += ".5"
    state = fold(events)
    standing = [acceptance_stands(state, step) for step in state.plan.steps]
    assert not all(standing)
