"""What is left out because the terminal shows it already: any other terminal must show what it would with all of it."""

import pyte
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len, set_cell_size
from rich.color import ColorSystem
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from traveler.tui.shown import CERTAIN, Shown

WIDTH, HEIGHT = 24, 3
STYLES = [
    None,
    Style.parse("#d0d0d0 on #1c1c1c"),
    Style.parse("bold #ffffd7 on #303030"),
    Style.parse("bold #d0d0d0 on #1c1c1c"),
    Style.parse("dim #d0d0d0"),
    Style.parse("reverse #8a8a8a on #1c1c1c"),
    Style.parse("underline"),
    Style.parse("bold reverse"),
]
WORDS = ["met", "300 °F", "  ", "──", "run 2; ", "名前", "e\u0301", "שלום", "⣀⣠", "⌚", "🔥", "x" * 9]

pieces = st.lists(st.tuples(st.sampled_from(WORDS), st.sampled_from(STYLES)), max_size=8)


def line(parts: list[tuple[str, Style | None]], width: int) -> Strip:
    """A line of exactly that many cells; the last is blank, where pyte misreads a letter in two parts."""
    segments, left = [], width - 1
    for text, style in parts:
        if cell_len(text) <= left:
            segments.append(Segment(text, style))
            left -= cell_len(text)
    return Strip([*segments, Segment(set_cell_size("", left + 1), STYLES[1])])


def looks(screen: pyte.Screen) -> list[list[tuple[object, ...]]]:
    """Each cell with what can be seen of it: on a blank neither colour nor weight of a letter."""
    found = []
    for y in range(screen.lines):
        cells = [screen.buffer[y][x] for x in range(WIDTH)]
        found.append(
            [
                (c.data, c.bg)
                if c.data == " " and not c.reverse and not c.underscore
                else (c.data, c.bg, c.fg, c.reverse, c.underscore, c.data != " " and c.bold)
                for c in cells
            ]
        )
    return found


class Watched:
    """A terminal that is sent what ``Shown`` says, and one that is sent everything."""

    def __init__(self, height: int = HEIGHT) -> None:
        self.shown = Shown(ColorSystem.EIGHT_BIT)
        self.screen = pyte.Screen(WIDTH, height)
        self._stream = pyte.Stream(self.screen)
        self.lines = [line([], WIDTH) for _ in range(height)]

    def whole(self) -> int:
        """Paint all of it anew; how many characters that takes."""
        return self._send(self.shown.whole([[strip] for strip in self.lines]))

    def change(self, x: int, y: int, strip: Strip) -> int:
        """Paint a part of a line; how many characters that takes."""
        before, after = self.lines[y].crop(0, x), self.lines[y].crop(x + strip.cell_length)
        self.lines[y] = Strip([*before, *strip, *after])
        return self._send(self.shown.changed([(x, y, strip)]))

    def scroll(self, top: int, lines: list[Strip]) -> int:
        """Paint a block of whole lines; how many characters that takes."""
        self.lines[top : top + len(lines)] = lines
        return self._send(self.shown.changed((0, top + at, strip) for at, strip in enumerate(lines)))

    def _send(self, text: str) -> int:
        self._stream.feed(text)
        return len(text)

    @property
    def expected(self) -> list[list[tuple[object, ...]]]:
        """What a terminal shows that is sent the whole of it by other means."""
        screen = pyte.Screen(WIDTH, len(self.lines))
        stream = pyte.Stream(screen)
        for y, strip in enumerate(self.lines):
            stream.feed(f"\x1b[{y + 1};1H")
            for text, style, _ in strip:
                drawn = style.render(text, color_system=ColorSystem.EIGHT_BIT) if style else text
                stream.feed(drawn)
        return looks(screen)


@given(
    st.lists(pieces, min_size=HEIGHT, max_size=HEIGHT),
    st.lists(st.tuples(st.integers(0, HEIGHT - 1), pieces)),
)
def test_the_terminal_shows_what_it_would_if_all_were_sent(
    first: list[list[tuple[str, Style | None]]], then: list[tuple[int, list[tuple[str, Style | None]]]]
) -> None:
    watched = Watched()
    watched.lines = [line(parts, WIDTH) for parts in first]
    watched.whole()
    assert looks(watched.screen) == watched.expected
    for y, parts in then:
        watched.change(0, y, line(parts, WIDTH))
        assert looks(watched.screen) == watched.expected


@given(st.lists(st.tuples(st.integers(0, HEIGHT - 1), st.integers(0, 16), pieces), max_size=12))
def test_a_part_of_a_line_is_put_where_it_belongs(
    changes: list[tuple[int, int, list[tuple[str, Style | None]]]],
) -> None:
    narrow = [
        (y, x, [(text, style) for text, style in parts if len(text) == cell_len(text)])
        for y, x, parts in changes
    ]
    watched = Watched()
    watched.whole()
    for y, x, parts in narrow:
        watched.change(x, y, line(parts, WIDTH - x))
        assert looks(watched.screen) == watched.expected


def test_what_is_taken_for_one_cell_is_one() -> None:
    taken = [chr(code) for code in range(0x20, 0x3000) if CERTAIN.fullmatch(chr(code))]
    assert {"A", "°", "é", "─", "⣿"} <= set(taken)
    assert all(cell_len(character) == 1 for character in taken)


def test_what_stands_there_is_not_sent_again_and_a_digit_takes_a_digit() -> None:
    watched = Watched()
    watched.whole()
    typed = [("Value 31", STYLES[1])]
    assert watched.change(0, 0, line(typed, WIDTH)) > 0
    assert watched.change(0, 0, line(typed, WIDTH)) == 0
    assert watched.change(0, 0, line([("Value 312", STYLES[1])], WIDTH)) < 50


@pytest.mark.parametrize("name", ["名前 4", "e\u0301 4", "שלום 4"])
def test_behind_a_letter_whose_place_is_not_certain_the_rest_of_the_line_is_sent(name: str) -> None:
    watched = Watched()
    watched.change(0, 0, line([("Name  ", STYLES[1]), (name, STYLES[1])], WIDTH))
    sent = watched.shown.changed([(0, 0, line([("Name  ", STYLES[1]), (name[:-1] + "5", STYLES[1])], WIDTH))])
    assert name[:-1] + "5" in sent
    assert "Name" not in sent


@given(st.lists(st.integers(-4, 4), max_size=8), st.data())
def test_text_that_is_scrolled_is_moved_by_the_terminal(steps: list[int], data: st.DataObject) -> None:
    text = [line(parts, WIDTH) for parts in data.draw(st.lists(pieces, min_size=30, max_size=30))]
    watched = Watched(12)
    watched.lines = [line([("heading", STYLES[2])], WIDTH), *text[9:19], line([("keys", STYLES[2])], WIDTH)]
    watched.whole()
    at = 9
    for step in steps:
        at = min(max(at + step, 0), 20)
        watched.scroll(1, text[at : at + 10])
        assert looks(watched.screen) == watched.expected


@pytest.mark.parametrize("differs", [True, False])
def test_what_stands_beside_text_that_is_scrolled_stays(differs: bool) -> None:
    text = [line([(f"text {number}", STYLES[1])], 12) for number in range(30)]
    beside = [line([(f"row {number if differs else ''}", STYLES[2])], 12) for number in range(12)]
    watched = Watched(12)
    watched.lines = [Strip([*left, *right]) for left, right in zip(beside, text[:12], strict=True)]
    watched.whole()
    for at in (1, 3, 2):
        right = text[at : at + 12]
        watched.lines = [Strip([*one, *other]) for one, other in zip(beside, right, strict=True)]
        watched._send(watched.shown.changed((12, y, strip) for y, strip in enumerate(right)))
        assert looks(watched.screen) == watched.expected


def test_a_line_further_down_takes_little_more_than_that_line() -> None:
    text = [line([(f"line {number}: 300 °F", STYLES[1])], WIDTH) for number in range(30)]
    watched = Watched(12)
    watched.lines = text[:12]
    watched.whole()
    assert watched.scroll(1, text[2:12]) < 80
    assert looks(watched.screen) == watched.expected


def test_a_terminal_of_another_size_is_sent_all_of_it() -> None:
    watched = Watched()
    strip = line([("met", STYLES[1])], WIDTH)
    watched.whole()
    watched.change(0, 1, strip)
    watched.shown.forget()
    assert "met" in watched.shown.changed([(0, 1, strip)])
