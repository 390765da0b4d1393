"""The board in a real pty: finding in one burst, what others write, and what it all costs in bytes."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import SHEETS, Terminal

from traveler.acts.change import load_job
from traveler.acts.clock import SystemClock
from traveler.acts.issue import issue
from traveler.acts.readings import NewReading, record_reading
from traveler.job.state import Person
from traveler.record.shop import Shop

pytestmark = pytest.mark.terminal
OTTO = Person("Otto Plan")


@pytest.fixture
def jobs(shop_path: Path) -> Path:
    """The shop with thirty more jobs of one sheet."""
    sheet = (SHEETS / "bracket.toml").read_text()
    with Shop.open(shop_path) as shop:
        for number in range(30):
            issue(shop, SystemClock(), OTTO, sheet.replace("H-014", f"Q-{number:02d}").encode())
    return shop_path


def test_a_burst_finds_goes_to_the_list_and_opens(jobs: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(jobs)
    assert terminal.sees("all open: 31 jobs")
    terminal.send("/q-17\r\r")
    assert terminal.sees("Enter Open step")
    assert "Q-17" in terminal.display.splitlines()[0]
    terminal.send("q")
    assert terminal.sees('found "q-17": 1 job')


def test_letters_that_are_keys_elsewhere_land_in_the_find_line_in_one_burst(
    jobs: Path, opened: Callable[..., Terminal]
) -> None:
    for _ in range(5):
        terminal = opened(jobs)
        assert terminal.sees("all open: 31 jobs")
        terminal.send("/qvnr?/ bracket\rv")
        assert terminal.sees('blocked, found "qvnr?/ bracket": 0 jobs')
        terminal.close()


def test_a_burst_of_moves_is_taken_key_by_key(jobs: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(jobs)
    assert terminal.sees("all open: 31 jobs")
    terminal.send("\x1b[B" * 24 + "\r")
    assert terminal.sees("Enter Open step")
    assert "Q-05" in terminal.display.splitlines()[0]


def test_what_another_program_writes_is_seen_within_two_seconds(
    jobs: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(jobs)
    assert terminal.sees("all open: 31 jobs")
    with Shop.open(jobs, watched=False) as shop:
        preheat = next(step.number for step in load_job(shop, "Q-29").plan.steps if step.kind == "preheat")
        entered = NewReading(preheat, "preheat temperature", "320 F", place="plate")
        assert record_reading(shop, SystemClock(), Person("Zed"), "Q-29", entered).recorded
    assert terminal.sees(f"Zed, Q-29: step {preheat}, reading 1 was recorded", seconds=2.0)


def test_bytes_on_the_line(jobs: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(jobs)
    assert terminal.sees("all open: 31 jobs")
    terminal.quiet(0.5)
    first = len(terminal.raw)
    costs = {}
    for name, key in (("down", "\x1b[B"), ("find", "/"), ("letter", "q"), ("list", "\r")):
        terminal.send(key)
        costs[name] = len(terminal.quiet(0.5))
    idle = len(terminal.quiet(3))
    assert first <= 20_000
    assert costs["down"] <= 1_200
    assert costs["find"] <= 8_000
    assert costs["list"] <= 8_000
    assert idle == 0
