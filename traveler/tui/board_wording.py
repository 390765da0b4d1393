"""What the board says, laid out for the width at hand. No widgets here."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from rich.cells import cell_len, set_cell_size
from textual.content import Content

from traveler.report.board_words import (
    last_words,
    standing_word,
    waiting_words,
)
from traveler.report.words import count_words, visible
from traveler.tui.layout import Heading, Laid, Lines, hung
from traveler.tui.theme import marked, tone

Json = dict[str, Any]

VIEW_WORDS = {"open": "all open", "blocked": "blocked", "sign": "to sign", "due": "due", "ended": "ended"}
ORDER_WORDS = {
    "open": "those that need somebody first",
    "blocked": "the newest first",
    "sign": "the newest first",
    "due": "the earliest first",
    "ended": "the newest first",
}
ROW_LINES = 2
NARROW = 60
NUMBER_WIDTH, WORD_WIDTH = 10, 11


def job_lines(job: Json, width: int, now: datetime, *, plain: bool) -> list[list[tuple[str, str]]]:
    """Two lines of a job, cut where the width ends: number, how it stands, where, its title; and what it waits for.

    In a narrow window the title goes before the step, which then stands with what it waits for, a time before all.
    """
    word = standing_word(job)
    sign, number, title = marked(word), visible(job["number"]), visible(job["title"])
    step = f"at {visible(job['step'])}" if job["step"] else ""
    waits = waiting_words(job, now) or last_words(job, now)
    look = tone(word, plain=plain)
    if width < NARROW:
        first, rest, indent = f"{number} ", f" {title}", "  "
        both = (waits, step) if job["due"] else (step, waits)
        waits = "; ".join(filter(None, both))
    else:
        first, sign = _padded(number, NUMBER_WIDTH), _padded(sign, WORD_WIDTH)
        rest, indent = ", ".join(filter(None, (step, title))), " " * NUMBER_WIDTH
    room = width - cell_len(first) - cell_len(sign)
    return [
        [(first, ""), (sign, look), (cut(rest, room), "")],
        [(indent + cut(waits, width - len(indent)), "")],
    ]


def _padded(text: str, width: int) -> str:
    return set_cell_size(text, width) if cell_len(text) < width else f"{text} "


def cut(text: str, width: int) -> str:
    """``text`` in at most so many cells; where it is cut, three dots say so."""
    if cell_len(text) <= width:
        return text
    return set_cell_size(text, max(width - 3, 0)).rstrip() + "..."[: max(width, 0)]


@dataclass(frozen=True)
class BoardHeading(Laid):
    """Which jobs stand here, how many, in which order where there is room for it, and who is at the keyboard."""

    view: str
    find: str
    count: int
    person: str

    def content(self, width: int) -> Content:
        """As ``Laid.content``."""
        found = f', found "{visible(self.find)}"' if self.find.strip() else ""
        short = f"{VIEW_WORDS[self.view]}{found}: {count_words(self.count, 'job')}"
        full = f"{short}, {ORDER_WORDS[self.view]}"
        left = full if cell_len(full) + cell_len(self.person) + 2 <= width else short
        return Heading(left, self.person).content(width)


@dataclass(frozen=True)
class BoardNumbers(Laid):
    """All jobs counted, with the file's name where there is room, and what else is due: calibrations, parts."""

    named: str
    unnamed: str
    dues: tuple[str, ...]

    def content(self, width: int) -> Content:
        """As ``Laid.content``."""
        lines = [self.named if cell_len(self.named) <= width else self.unnamed]
        lines += [f"! {due}" for due in self.dues if due]
        return Lines(tuple(lines)).content(width)


@dataclass(frozen=True)
class Newest(Laid):
    """Who did what last, a line a job; in a narrow column each over as many lines as it takes."""

    deeds: tuple[tuple[str, str], ...]

    def content(self, width: int) -> Content:
        """As ``Laid.content``."""
        if width < NARROW:
            lines = [line for who, what in self.deeds for line in [*hung(who, width), *_inset(what, width)]]
        else:
            lines = [cut(f"{who}, {what}", width) for who, what in self.deeds]
        return Content("\n".join(["Newest:", *lines] if width < NARROW else lines))


def _inset(text: str, width: int) -> Sequence[str]:
    return [f"  {line}" for line in hung(text, width - 2)]
