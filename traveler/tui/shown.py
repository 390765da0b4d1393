"""What the terminal shows, so that only cells that change are sent: on a slow line each byte is waited for."""

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from rich.cells import cell_len
from rich.color import Color, ColorSystem
from rich.style import Style
from textual.strip import Strip

NEAR = 8
"""Cells up to which it is cheaper to write again what stands between two changes than to move the cursor."""
FEWEST_SCROLLED, FARTHEST_SCROLLED = 4, 3
"""Lines for which it pays to have the terminal move them, and as far as that is tried."""

CERTAIN = re.compile("[ -~\xa1-\xac\xae-\u02ff\u2010-\u2027\u2500-\u259f\u2800-\u28ff]*")
"""What every terminal draws in one cell each, in the order of the line: Latin letters, signs, rules, dots of charts."""

ATTRIBUTES = (
    ("bold", "1", "22"),
    ("dim", "2", "22"),
    ("italic", "3", "23"),
    ("underline", "4", "24"),
    ("blink", "5", "25"),
    ("reverse", "7", "27"),
    ("strike", "9", "29"),
)
"""What a style can have beside its colours, with the codes of ECMA-48 that put it on and take it off."""
ON_BLANKS = ("underline", "reverse", "strike")
"""Those of them that show on a blank too."""


class Look(NamedTuple):
    """A style as a terminal is told it: names of ``ATTRIBUTES``, and the codes of both colours, empty for its own."""

    attributes: tuple[str, ...] = ()
    colour: str = ""
    ground: str = ""

    @property
    def on_blanks(self) -> "Look":
        """What of it shows on a blank."""
        shows = tuple(name for name in self.attributes if name in ON_BLANKS)
        return Look(shows, self.colour if shows else "", self.ground)

    def codes_from(self, other: "Look") -> Iterator[str]:
        """What makes this look of another one."""
        gone = {
            off for name, _, off in ATTRIBUTES if name in other.attributes and name not in self.attributes
        }
        yield from sorted(gone)
        for name, on, off in ATTRIBUTES:
            if name in self.attributes and (name not in other.attributes or off in gone):
                yield on
        if self.colour != other.colour:
            yield self.colour or "39"
        if self.ground != other.ground:
            yield self.ground or "49"


PLAIN = Look()

Cell = tuple[str, Look]
"""What stands in a cell and in what look; the second cell of a wide letter is empty."""


class Pen:
    """Writes text at places with as few codes as it takes."""

    def __init__(self) -> None:
        self._written: list[str] = []
        self._look = PLAIN

    def move(self, x: int, y: int) -> None:
        """To a cell, both counted from 0."""
        self._written.append(f"\x1b[{y + 1};{x + 1}H")

    def write(self, text: str, look: Look) -> None:
        """Text from where the pen is. Blanks take any look that is the same on them."""
        if look != self._look and not (text.isspace() and look.on_blanks == self._look.on_blanks):
            codes = ";".join(look.codes_from(self._look)) if look != PLAIN else "0"
            self._written.append(f"\x1b[{codes}m")
            self._look = look
        self._written.append(text)

    def put(self, x: int, y: int, cells: Iterable[Cell | None]) -> None:
        """Write cells that are known from a place on."""
        known = [cell for cell in cells if cell is not None]
        if known:
            self.move(x, y)
        for text, look in known:
            self.write(text, look)

    def scroll(self, top: int, bottom: int, by: int) -> None:
        """Move the lines from one to another up by so many, or down where it is negative; what comes in is blank."""
        self._written.append(
            f"\x1b[{top + 1};{bottom + 1}r\x1b[{top + 1};1H\x1b[{abs(by)}{'M' if by > 0 else 'L'}\x1b[r"
        )

    def done(self) -> str:
        """All of it, and no look is left on."""
        if self._look != PLAIN:
            self._written.append("\x1b[0m")
        return "".join(self._written)


class Shown:
    """The cells of the terminal as they were written last; ``colours`` is what it can show."""

    def __init__(self, colours: ColorSystem) -> None:
        self._colours = colours
        self._lines: dict[int, list[Cell | None]] = {}
        self._whole: dict[int, Sequence[Strip]] = {}
        self._width = 0

    def forget(self) -> None:
        """Nothing is known of the terminal any more: it has another size."""
        self._lines.clear()
        self._whole.clear()
        self._width = 0

    def whole(self, lines: Iterable[Iterable[Strip]]) -> str:
        """What writes every line anew, whatever stands there."""
        self.forget()
        pen = Pen()
        for y, strips in enumerate(lines):
            self._whole[y] = tuple(strips)
            self._width = max(self._width, sum(strip.cell_length for strip in self._whole[y]))
            pen.move(0, y)
            for strip in self._whole[y]:
                for text, style, _ in strip:
                    pen.write(text, look_of(style, self._colours))
        return pen.done()

    def changed(self, parts: Iterable[tuple[int, int, Strip]]) -> str:
        """What makes the terminal show these strips, each from its x and y on, where it does not yet."""
        pen = Pen()
        found = [(x, y, cells_of(strip, self._colours)) for x, y, strip in parts]
        self._scroll(pen, found)
        for x, y, fresh in found:
            line = self._line(y)
            line.extend([None] * (x + len(fresh) - len(line)))
            for start, end in differing(line[x : x + len(fresh)], fresh):
                pen.put(x + start, y, fresh[start:end])
            line[x : x + len(fresh)] = fresh
        return pen.done()

    def _scroll(self, pen: Pen, parts: Sequence[tuple[int, int, list[Cell]]]) -> None:
        """Where text only moved up or down a little, let the terminal move its lines instead of writing them anew.

        It moves whole lines, so what stands beside the text must be the same on all of them.
        """
        lines = {y: (x, fresh) for x, y, fresh in parts}
        if len(lines) < FEWEST_SCROLLED or len(lines) < len(parts):
            return
        top, bottom = min(lines), max(lines)
        if len(lines) < bottom + 1 - top:
            return
        beside = [(self._line(y)[:x], self._line(y)[x + len(fresh) :]) for y, (x, fresh) in lines.items()]
        if any(cells != beside[0] for cells in beside) or not all(map(self._is_known, lines)):
            return

        def saved(by: int) -> int:
            """How many lines stand where they belong once all were moved so far."""
            return sum(
                self._line(y + by)[x : x + len(fresh)] == fresh != self._line(y)[x : x + len(fresh)]
                for y, (x, fresh) in lines.items()
                if top <= y + by <= bottom
            )

        by = max((by for far in range(1, FARTHEST_SCROLLED + 1) for by in (far, -far)), key=saved)
        if saved(by) < FEWEST_SCROLLED:
            return
        pen.scroll(top, bottom, by)
        left, right = beside[0]
        blank = [*left, *[None] * (self._width - len(left) - len(right)), *right]
        before = {y: self._line(y) for y in lines}
        for y in lines:
            self._lines[y] = list(before.get(y + by, blank))
            if y + by not in before:
                pen.put(0, y, left)
                pen.put(self._width - len(right), y, right)

    def _is_known(self, y: int) -> bool:
        """Whether all that stands on a line was written since the terminal has its size."""
        line = self._line(y)
        return len(line) == self._width and None not in line

    def _line(self, y: int) -> list[Cell | None]:
        """The cells of a line; those of a line that was written whole are looked at only once it changes."""
        whole = self._whole.pop(y, None)
        if whole is not None:
            self._lines[y] = [cell for strip in whole for cell in cells_of(strip, self._colours)]
        return self._lines.setdefault(y, [])


@lru_cache(maxsize=512)
def look_of(style: Style | None, colours: ColorSystem) -> Look:
    """A style as a terminal of so many colours is told it. No text of the app is a link."""
    if style is None:
        return PLAIN
    attributes = tuple(name for name, _, _ in ATTRIBUTES if getattr(style, name))
    return Look(attributes, _codes(style.color, colours), _codes(style.bgcolor, colours, ground=True))


def _codes(colour: Color | None, colours: ColorSystem, *, ground: bool = False) -> str:
    if colour is None or colour.is_default:
        return ""
    return ";".join(colour.downgrade(colours).get_ansi_codes(not ground))


def cells_of(strip: Strip, colours: ColorSystem) -> list[Cell]:
    """The cells of a strip; a letter without a width of its own stands with the one before it."""
    cells: list[Cell] = []
    for text, style, _ in strip:
        look = look_of(style, colours)
        blank = (" ", look.on_blanks)
        if CERTAIN.fullmatch(text):
            cells += [blank if character == " " else (character, look) for character in text]
            continue
        for character in text:
            width = cell_len(character)
            if width == 0 and cells:
                cells[-1] = (cells[-1][0] + character, cells[-1][1])
            else:
                cells += [blank if character == " " else (character, look), ("", look)][:width]
    return cells


def differing(before: Sequence[Cell | None], fresh: Sequence[Cell]) -> list[tuple[int, int]]:
    """Where ``fresh`` differs from what stands there, as pieces from a cell up to another one.

    A letter that terminals may draw in two cells, in none or from right to left shifts what stands behind it: from the
    first one on all is one piece.
    """
    if before == fresh:
        return []
    places = [at for at, (old, new) in enumerate(zip(before, fresh, strict=True)) if old != new]
    doubtful = min(_first_doubtful(before), _first_doubtful(fresh))
    if doubtful < len(fresh):
        return [(min(places[0], doubtful), len(fresh))]
    pieces: list[tuple[int, int]] = []
    for at in places:
        if pieces and at - pieces[-1][1] <= NEAR:
            pieces[-1] = (pieces[-1][0], at + 1)
        else:
            pieces.append((at, at + 1))
    return pieces


def _first_doubtful(cells: Sequence[Cell | None]) -> int:
    """Where the first cell stands that is not certain; behind the last where all are."""
    if None not in cells and CERTAIN.fullmatch("".join(cell[0] for cell in cells if cell is not None)):
        return len(cells)
    certain = (cell is not None and len(cell[0]) == 1 and CERTAIN.fullmatch(cell[0]) for cell in cells)
    return next((at for at, is_certain in enumerate(certain) if not is_certain), len(cells))
