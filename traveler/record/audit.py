"""One pass over all events of a file in the order of writing: what does not fit, and where a noted code is."""

import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from traveler.record.chain import code, genesis, journal_genesis
from traveler.record.links import COLUMNS, EventRow, Fault, link_faults
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

    ``texts`` is asked what does not fit of an event's text, and told whether its stream is sound up to there. None:
    texts are hashed and not parsed at all. ``first_faulty``: of each stream with a fault, and of the journal, the first
    event that has one, by its number in the file.
    """

    def __init__(
        self,
        connection: sqlite3.Connection,
        noted: Noted | None,
        texts: Callable[[EventRow, bool], list[str]] | None,
    ) -> None:
        self._connection = connection
        self._noted = noted
        self._texts = texts
        self._found: tuple[str, int, int] | None = None
        self.first_faulty: dict[str, int] = {}
        self.shop_id: str | None = None
        self.heads: dict[str, tuple[int, bytes]] = {}
        self.events = 0
        self.journal = b"\x00" * 32
        self.noted_count_gives: str | None = None

    @property
    def altered(self) -> bool:
        """Whether a fault of an event was found."""
        return bool(self.first_faulty)

    @property
    def found(self) -> Found | None:
        """Where the noted code is; unaltered by what was found up to now."""
        if self._found is None:
            return None
        stream, event, number = self._found
        return Found(stream, event, number < self.first_faulty.get(stream, number + 1))

    def blame(self, stream: str, number: int) -> None:
        """Take down that the so many-th event of the file, which is of this stream, has a fault."""
        for chain in (stream, JOURNAL):
            self.first_faulty[chain] = min(number, self.first_faulty.get(chain, number))

    def faults(self) -> Iterator[tuple[int, str]]:
        """The position of each fault and a sentence for it, in the order of writing."""
        shop = self._connection.execute("SELECT id FROM shop").fetchone()
        if shop is None:
            yield SMALLEST, "the shop's id is missing"
            return
        (self.shop_id,) = shop
        assert self.shop_id is not None
        self.journal = journal_genesis(self.shop_id)
        for row in self._rows():
            seq, link = self.heads.get(row.stream) or (0, genesis(self.shop_id, row.stream))
            phrases = [*self._place_faults(row, seq), *link_faults(row, link, self.journal)]
            if self._texts is not None:
                phrases += self._texts(row, not phrases and row.stream not in self.first_faulty)
            if phrases:
                self.blame(row.stream, self.events + 1)
                yield from ((row.position, str(Fault(row.stream, row.seq, phrase))) for phrase in phrases)
            # What follows is compared with what is stored, so that one alteration is reported once.
            self.heads[row.stream] = (row.seq, row.hash)
            self.journal = row.journal_hash
            self.events += 1
            if self._noted is not None:
                self._look_for(self._noted, row)
        if not self.events:
            yield SMALLEST, "the file holds no event, not even its own founding"

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

    def _look_for(self, noted: Noted, row: EventRow) -> None:
        if noted.stands_for(row.journal_hash):
            self._found = JOURNAL, self.events, self.events
        elif noted.stands_for(row.hash):
            self._found = row.stream, row.seq, self.events
        if self.events == noted.events:
            self.noted_count_gives = code(row.journal_hash)
