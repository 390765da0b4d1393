"""A closed job, invented, whose part has its serial; and one like it that is still open."""

from pathlib import Path

from tui_kit import PLAIN_STEEL, TickingClock, accept_step, put

from traveler.acts.issue import close
from traveler.acts.parts import Signing, register_part
from traveler.job.person import Person
from traveler.record.shop import Shop
from traveler.tui.session import Session

IDA = Person("Ida Weld")
BY = Signing(IDA)
CLOSED = (
    PLAIN_STEEL.replace("P-1", "A-101").replace("Gate hinge", "Link tab")
    + """
[[dimension]]
id = "D1"
title = "hole to edge"
nominal = "38.0 mm"
tolerance = "0.3 mm"

[[step]]
number = 40
kind = "weld"
joint = "J1"

[[step]]
number = 90
kind = "inspect"
"""
)


def close_job(shop: Shop, clock: TickingClock) -> None:
    """Issue A-101 and close it, its D1 measured as 37.7 mm."""
    put(shop, CLOSED)
    for step in (40, 90):
        accept_step(Session(shop, clock, IDA), "A-101", step)
    assert close(shop, clock, IDA, "A-101").recorded


def build_with_part(original: Path) -> None:
    """Job A-101 is closed, its D1 measured as 37.7 mm, and its part is RU-7; A-102 is open."""
    with Shop.create(original) as shop:
        clock = TickingClock()
        close_job(shop, clock)
        put(shop, CLOSED.replace("A-101", "A-102"))
        assert register_part(shop, clock, BY, "A-101", "RU-7").recorded
