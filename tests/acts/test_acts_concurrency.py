"""Several benches on one job, and benches that die: what was acknowledged is there, and no signature is stale."""

import json
import os
import random
import signal
import sys
import time
from pathlib import Path

import pytest
from acts_kit import ADA, NUMBER, STREAM, Bench, finish, start

from traveler.acts.change import load_job
from traveler.acts.look import look
from traveler.acts.verify import verify
from traveler.job.state import JobState
from traveler.record.shop import Shop

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="kills by POSIX signals"),
]

# Records readings and says the number of each after it was recorded.
BENCH = """
import sys
from pathlib import Path
from acts_kit import Bench, HandClock
from traveler.acts.clock import SystemClock
from traveler.job.state import Person
from traveler.record.shop import Shop
path, name, limit = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
with Shop.open(path) as shop:
    bench = Bench(shop, SystemClock())
    for number in range(limit):
        outcome = bench.record(
            10, "preheat temperature", f"{300 + number} F", place=f"{name} {number}", by=Person(name)
        )
        print(outcome.reading, f"{name} {number}", flush=True)
"""


def readings(shop: Shop) -> dict[int, str | None]:
    state: JobState = load_job(shop, NUMBER)
    return {reading.number: reading.place for reading in state.readings}


def acknowledged(output: str) -> dict[int, str]:
    """Number and place of each whole line: one that was cut short by a kill says nothing."""
    lines = [line.split(" ", 1) for line in output.splitlines(keepends=True) if line.endswith("\n")]
    return {int(number): place.rstrip("\n") for number, place in lines}


def test_two_benches_record_while_a_stale_signature_is_refused(bench: Bench) -> None:
    bench.preheated()
    bench.perform(10)
    shown = look(bench.shop, bench.clock, NUMBER)["steps"][0]["content"]
    children = [start(BENCH, bench.shop.path, name, 100) for name in ("east", "west")]
    assert children[0].stdout is not None
    first = children[0].stdout.readline()
    refused = bench.accept(10, ADA, content=shown)
    assert (refused.recorded, refused.reasons[0][:6]) == (False, "stale:")
    told = acknowledged(first)
    for child in children:
        told |= acknowledged(finish(child))
    assert len(told) == 200
    stored = readings(bench.shop)
    assert sorted(stored) == list(range(1, 203))
    assert {number: stored[number] for number in told} == told
    assert verify(bench.shop.path).faults == ()
    assert not bench.accept(10, ADA, content=shown).recorded
    bench.clock.pass_by(10_000_000)
    now = look(bench.shop, bench.clock, NUMBER)["steps"][0]["content"]
    assert bench.accept(10, ADA, content=f" {now.lower()} ").recorded


def test_what_a_killed_bench_acknowledged_is_there(bench: Bench) -> None:
    chance = random.Random(8630)
    told: dict[int, str] = {}
    for round_ in range(8):
        child = start(BENCH, bench.shop.path, f"round {round_}", 10_000)
        assert child.stdout is not None
        for _ in range(chance.randint(1, 12)):
            told |= acknowledged(child.stdout.readline())
        time.sleep(chance.uniform(0, 0.02))
        os.kill(child.pid, signal.SIGKILL)
        output, errors = child.communicate()
        assert child.returncode == -signal.SIGKILL, errors
        told |= acknowledged(output)
        assert verify(bench.shop.path).faults == ()
    stored = readings(bench.shop)
    assert {number: stored[number] for number in told} == told
    # A kill between COMMIT and the answer may leave one more each time.
    assert 8 < len(told) <= len(stored) <= len(told) + 8
    assert sorted(stored) == list(range(1, len(stored) + 1))
    bodies = [json.loads(event.body) for event in bench.shop.events(STREAM)]
    assert [body["seq"] for body in bodies] == list(range(1, len(bodies) + 1))
    (row,) = bench.shop.board()
    assert row.last_event_at == bodies[-1]["recorded_at"]


def test_a_signature_on_what_was_shown_goes_through_and_only_once(bench: Bench, tmp_path: Path) -> None:
    bench.preheated()
    bench.perform(10)
    shown = look(bench.shop, bench.clock, NUMBER)["steps"][0]["content"]
    with Shop.open(bench.shop.path) as second:
        other = Bench(second, bench.clock)
        assert other.accept(10, ADA, content=shown).recorded
    assert bench.accept(10, ADA, content=shown).reasons == ("already accepted",)
