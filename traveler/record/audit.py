"""One pass over all events of a file in the order of writing: what does not fit, and where a noted code is."""

import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from traveler.record.chain import code, genesis, journal_genesis
from traveler.record.links import COLUMNS, EventRow, Fault, link_faults, text_faults
from traveler.record.noted import Noted

PAGE = 500
SMALLEST = -(2**63)  # a position that was altered can be anything SQLite stores

JOURNAL = "journal"


@dataclass(frozen=True, slots=True)
class Found:
    """The place whose code was noted: the ``event`` of a stream, or of the journal over all of them.

    ``unaltered``: everything that this code covers fits together, so it is as it was when the code was noted.
    """

    stream: str
    event: int
    unaltered: bool


class Audit:
    """Keeps the number and link of each stream's newest event, and the journal's, while ``faults`` is drawn from.

    ``on_text`` is handed each event whose text could be parsed; None: texts are hashed and not parsed at all.
    """

    def __init__(
        self,
        connection: sqlite3.Connection,
        noted: Noted | None,
        on_text: Callable[[EventRow, dict[str, Any]], None] | None,
    ) -> None:
        self._connection = connection
        self._noted = noted
        self._on_text = on_text
        self._faulty: set[str] = set()
        self.heads: dict[str, tuple[int, bytes]] = {}
        self.events = 0
        self.journal = b"\x00" * 32
        self.found: Found | None = None
        self.noted_count_gives: str | None = None

    @property
    def altered(self) -> bool:
        """Whether a fault of an event was found."""
        return bool(self._faulty)

    def faults(self) -> Iterator[str]:
        """A sentence for each fault, in the order of writing."""
        shop = self._connection.execute("SELECT id FROM shop").fetchone()
        if shop is None:
            yield "the shop's id is missing"
            return
        (shop_id,) = shop
        self.journal = journal_genesis(shop_id)
        for row in self._rows():
            seq, link = self.heads.get(row.stream) or (0, genesis(shop_id, row.stream))
            phrases = [*self._place_faults(row, seq), *link_faults(row, link, self.journal)]
            if self._on_text is not None:
                phrases += self._text_faults(row, self._on_text)
            if phrases:
                self._faulty |= {row.stream, JOURNAL}
                yield from (str(Fault(row.stream, row.seq, phrase)) for phrase in phrases)
            # What follows is compared with what is stored, so that one alteration is reported once.
            self.heads[row.stream] = (row.seq, row.hash)
            self.journal = row.journal_hash
            self.events += 1
            if self._noted is not None:
                self._look_for(self._noted, row)
        if not self.events:
            yield "the file holds no event, not even its own founding"

    def _rows(self) -> Iterator[EventRow]:
        """All events, a page at a time, so that nobody waits; what is only added to reads the same."""
        position = SMALLEST
        while True:
            page = self._connection.execute(
                f"SELECT {COLUMNS} FROM event WHERE position >= ? ORDER BY position LIMIT {PAGE}",
                (position,),
            ).fetchall()
            yield from map(EventRow._make, page)
            if len(page) < PAGE:
                return
            position = page[-1][0] + 1

    def _place_faults(self, row: EventRow, seq: int) -> Iterator[str]:
        if row.seq != seq + 1:
            yield f"it follows event {seq}: one is missing or out of order"
        if row.position != self.events + 1:
            yield f"it is number {self.events + 1} in the file and says {row.position}"

    def _text_faults(self, row: EventRow, on_text: Callable[[EventRow, dict[str, Any]], None]) -> list[str]:
        faults, data = text_faults(row)
        if data is not None:
            on_text(row, data)
        return faults

    def _look_for(self, noted: Noted, row: EventRow) -> None:
        if noted.stands_for(row.journal_hash):
            self.found = Found(JOURNAL, self.events, JOURNAL not in self._faulty)
        elif noted.stands_for(row.hash):
            self.found = Found(row.stream, row.seq, row.stream not in self._faulty)
        if self.events == noted.events:
            self.noted_count_gives = code(row.journal_hash)
