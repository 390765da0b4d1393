"""A new job through a slow line: all keys in one piece, the line cut in the middle, the number told."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, Terminal

from traveler.acts.clock import SystemClock
from traveler.acts.look import look
from traveler.record.shop import Shop

pytestmark = pytest.mark.terminal

PAGES = (
    "n\rBracket, invented\r\r1\rengineer\rshop\r\x1b[21~"
    "\r413\r1\r2\rN4410\r3\rC 0.30 Mn 0.51 Cr 0.96 Mo 0.19\r\r2\r",
    f"\rS355J2\r3{F10}",
    f"\rER70S-2\rH5{F10}",
    f"\r2\rtig\r1\r\r12 V 150 A 90 mm/min{F10}",
    "\r1\r1/4 in\r",
    "\r1\r3/16 in\r\r",
    F10,
)


def test_a_whole_job_in_one_burst_goes_field_by_field_to_the_review_and_is_issued_once(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("n New job")
    terminal.send("".join(PAGES))
    assert terminal.sees("New job H-015: review", 30)
    assert terminal.sees("ready to be signed")
    # What is pressed behind the signature in the same burst signs nothing else.
    terminal.send(f"{F10}{F10}{F10}{F10}")
    assert terminal.sees("job H-015: revision 1 issued")
    with Shop.open(shop_path, read_only=True) as shop:
        assert [row.number for row in shop.board()] == ["H-015", "H-014"]
        job = look(shop, SystemClock(), "H-015")
    assert job["events"] == 1
    assert [(row["id"], row["grade"]) for row in job["materials"]] == [("M1", "4130"), ("M2", "S355J2")]
