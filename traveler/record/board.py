"""The board in the shop's file: a line a job, replaced with every act, read by pages."""

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass, fields
from operator import attrgetter
from pathlib import Path
from typing import Any, Literal, NamedTuple

from traveler.job.board_row import BoardRow, Need
from traveler.record.trouble import in_words

OLDEST_WITH_BOARD = 3
"""Schema versions before it have a board of six columns."""

EARLIER_COLUMNS = ("number", "title", "state", "step", "blocked_by", "last_event_at")
COLUMNS = tuple(field.name for field in fields(BoardRow))
_VALUES = attrgetter(*COLUMNS)
_SHOWN = tuple(name for name in COLUMNS if name != "words")
_SELECTED = ", ".join(_SHOWN)
# A line that is there is changed in its place: to replace it would touch two more pages of a file of many jobs.
_PUT = (
    f"INSERT INTO board ({', '.join(COLUMNS)}, recent) VALUES (?{', ?' * len(COLUMNS)})"
    " ON CONFLICT (number) DO UPDATE SET "
    + ", ".join(f"{name} = excluded.{name}" for name in (*COLUMNS, "recent") if name != "number")
)


class Place(NamedTuple):
    """Where a line stands in a view: in which of its parts, its key of order there, and the job's number."""

    part: int
    key: int
    number: str


class Line(NamedTuple):
    """A line, without the words that are searched, and its place in the view it was read by."""

    place: Place
    row: BoardRow


@dataclass(frozen=True, slots=True)
class Part:
    """A stretch of a view: the lines that take ``needs``, in one order.

    ``came``: those of which what was due has come (True), those of which it has not or which have nothing due (False),
    both (None). What has come counts by what the line takes since then.
    """

    needs: tuple[Need, ...]
    order: Literal["due", "recent"] = "recent"
    came: bool | None = False


View = Sequence[Part]


class Totals(NamedTuple):
    """How many jobs take what at an instant; ``came``: what was due has come; ``later``: something comes due yet."""

    needs: dict[Need, int]
    came: int
    later: int
    nonconformances: int
    in_question: int


class BoardReader:
    """The board, read by pages on one connection. ``now_s``: the present, in seconds after 1970-01-01 UTC."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self._connection = connection
        self._path = path

    def after(
        self,
        view: View,
        now_s: int,
        find: Sequence[str],
        place: Place | None,
        most: int,
        *,
        itself: bool = False,
    ) -> list[Line]:
        """At most so many lines behind ``place``, from the first where that is None; with ``itself`` from it on.

        ``find``: words in the form of ``plain_name`` that must all stand in what is searched of a line.
        """
        found: list[Line] = []
        for at, part in enumerate(view):
            if place is None or at >= place.part:
                beyond = place if place is not None and at == place.part else None
                sign = ">=" if itself else ">"
                found += self._lines(at, part, now_s, find, beyond, sign, most - len(found))
            if len(found) >= most:
                break
        return found

    def before(
        self, view: View, now_s: int, find: Sequence[str], place: Place | None, most: int
    ) -> list[Line]:
        """At most so many lines right before ``place``, in order; the last ones where that is None."""
        found: list[Line] = []
        for at, part in reversed(list(enumerate(view))):
            if place is None or at <= place.part:
                beyond = place if place is not None and at == place.part else None
                found += self._lines(at, part, now_s, find, beyond, "<", most - len(found))
            if len(found) >= most:
                break
        return found[::-1]

    def line(self, view: View, now_s: int, find: Sequence[str], number: str) -> Line | None:
        """The line of a job in a view; None where it is not in it."""
        for at, part in enumerate(view):
            where, values = _where(part, now_s, find)
            found = self._asked(
                f"SELECT {_key(part)}, {_SELECTED} FROM board WHERE {where} AND number = ?", (*values, number)
            )
            if found:
                return _line(at, found[0])
        return None

    def count(self, view: View, now_s: int, find: Sequence[str]) -> int:
        """How many lines a view has."""
        total = 0
        for part in view:
            where, values = _where(part, now_s, find)
            total += self._asked(f"SELECT count(*) FROM board WHERE {where}", values)[0][0]
        return total

    def totals(self, now_s: int) -> Totals:
        """What takes what, over all jobs, by the index alone."""
        needs: dict[Need, int] = {}
        came = later = nonconformances = questions = 0
        for need, has_come, has_due, count, open_ones, asked in self._asked(
            "SELECT CASE WHEN due_s <= :now THEN need_then ELSE need END, coalesce(due_s <= :now, 0),"
            " due_s IS NOT NULL, count(*), sum(nonconformances), sum(in_question) FROM board GROUP BY 1, 2, 3",
            {"now": now_s},
        ):
            needs[need] = needs.get(need, 0) + count
            came += count * has_come
            later += count * (has_due and not has_come)
            nonconformances += open_ones
            questions += asked
        return Totals(needs, came, later, nonconformances, questions)

    def next_due_s(self, now_s: int) -> int | None:
        """When the next thing comes due; None for nothing."""
        found: int | None = self._asked("SELECT min(due_s) FROM board WHERE due_s > ?", (now_s,))[0][0]
        return found

    def all(self) -> list[BoardRow]:
        """Every line in full, the one written to last first."""
        rows = self._asked(f"SELECT {', '.join(COLUMNS)} FROM board ORDER BY recent, number")
        return [BoardRow(*row) for row in rows]

    def newest(self, most: int) -> list[BoardRow]:
        """The jobs that were written to last."""
        rows = self._asked(f"SELECT {_SELECTED} FROM board ORDER BY recent, number LIMIT ?", (most,))
        return [_row(row) for row in rows]

    def _lines(
        self,
        at: int,
        part: Part,
        now_s: int,
        find: Sequence[str],
        beyond: Place | None,
        sign: str,
        most: int,
    ) -> list[Line]:
        where, values = _where(part, now_s, find)
        if beyond is not None:
            where += f" AND ({_key(part)}, number) {sign} (?, ?)"
            values = (*values, beyond.key, beyond.number)
        down = " DESC" if sign == "<" else ""
        rows = self._asked(
            f"SELECT {_key(part)}, {_SELECTED} FROM board WHERE {where}"
            f" ORDER BY {_key(part)}{down}, number{down} LIMIT ?",
            (*values, most),
        )
        return [_line(at, row) for row in rows]

    def _asked(self, text: str, values: Sequence[object] | dict[str, object] = ()) -> list[Any]:
        with in_words(self._path):
            return self._connection.execute(text, values).fetchall()


def put(connection: sqlite3.Connection, row: BoardRow, position: int) -> None:
    """Replace a job's line; ``position`` in the journal is that of the job's last event."""
    connection.execute(_PUT, (*_VALUES(row), -position))


def _key(part: Part) -> str:
    return "due_s" if part.order == "due" else "recent"


def _where(part: Part, now_s: int, find: Sequence[str]) -> tuple[str, tuple[object, ...]]:
    needs = ", ".join("?" * len(part.needs))
    as_it_was, since = (
        f"need IN ({needs}) AND (due_s IS NULL OR due_s > ?)",
        f"due_s <= ? AND need_then IN ({needs})",
    )
    if part.came is None:
        where = f"(({as_it_was}) OR ({since}))"
        values: tuple[object, ...] = (*part.needs, now_s, now_s, *part.needs)
    else:
        where, values = (since, (now_s, *part.needs)) if part.came else (as_it_was, (*part.needs, now_s))
    if part.order == "due":
        where += " AND due_s IS NOT NULL"
    return where + " AND instr(words, ?) > 0" * len(find), (*values, *find)


def _line(at: int, found: Sequence[Any]) -> Line:
    row = _row(found[1:])
    return Line(Place(at, found[0], row.number), row)


def _row(found: Sequence[Any]) -> BoardRow:
    return BoardRow(**dict(zip(_SHOWN, found, strict=True)))
