"""What the board shows of the shop's file: a page of lines at a time, and the facts about all of them."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from traveler.acts.board import VIEWS, board_object, part_dues, searched, seconds, shop_dues, totals_of
from traveler.acts.clock import Clock
from traveler.acts.register import shop_now
from traveler.record.board import Line, Place
from traveler.record.shop import Shop

Json = dict[str, Any]

NEWEST = 30
"""Jobs whose last act is shown, where there is room."""


@dataclass(frozen=True, slots=True)
class BoardFacts:
    """All jobs counted, calibrations and parts due, the newest acts, as of ``now``."""

    totals: Json
    calibrations: tuple[Json, ...]
    parts: tuple[Json, ...]
    newest: tuple[Json, ...]
    now: datetime

    @property
    def jobs(self) -> int:
        """How many jobs the file has."""
        return int(sum(self.totals["needs"].values()))


class BoardData:
    """The board of one shop file, looked at in one view and with what somebody looks for.

    ``look`` sets the present; pages and facts are all of that moment until the next one.
    """

    def __init__(self, shop: Shop, clock: Clock) -> None:
        self._shop = shop
        self._clock = clock
        self.view = next(iter(VIEWS))
        self.find = ""
        self.look()

    def look(self) -> datetime:
        """Take the present as it is now."""
        self.now = shop_now(self._shop, self._clock)
        return self.now

    def next_view(self) -> None:
        """On to the next view, from the last to the first."""
        names = list(VIEWS)
        self.view = names[(names.index(self.view) + 1) % len(names)]

    def facts(self) -> BoardFacts:
        """What stands around the list, whatever the view."""
        reader = self._shop.board_reader
        newest = tuple(board_object(row, self.now) for row in reader.newest(NEWEST))
        calibrations = tuple(shop_dues(self._shop, self.now))
        parts = tuple(part_dues(self._shop, self.now))
        return BoardFacts(totals_of(self._shop, self.now), calibrations, parts, newest, self.now)

    def count(self) -> int:
        """How many jobs the view has, of those that are looked for."""
        return self._shop.board_reader.count(VIEWS[self.view], seconds(self.now), searched(self.find))

    def over(self) -> bool:
        """Whether time alone has changed what stood on the board at the last look: something came due, or the day
        has changed."""
        now = shop_now(self._shop, self._clock)
        if now.date() != self.now.date():
            return True
        due_s = self._shop.board_reader.next_due_s(seconds(self.now))
        return due_s is not None and due_s <= seconds(now)

    def after(self, place: Place | None, most: int, *, itself: bool = False) -> list[Line]:
        """At most so many lines behind a place, from the first where it is None; with ``itself`` from it on."""
        asked = (VIEWS[self.view], seconds(self.now), searched(self.find))
        return self._shop.board_reader.after(*asked, place, most, itself=itself)

    def before(self, place: Place | None, most: int) -> list[Line]:
        """At most so many lines right before a place; the last ones where it is None."""
        asked = (VIEWS[self.view], seconds(self.now), searched(self.find))
        return self._shop.board_reader.before(*asked, place, most)

    def line(self, number: str) -> Line | None:
        """The line of a job; None where the view does not have it."""
        asked = (VIEWS[self.view], seconds(self.now), searched(self.find))
        return self._shop.board_reader.line(*asked, number)
