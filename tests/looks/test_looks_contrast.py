"""Every letter of every screen can be read in every theme, and the row of the cursor told from the others."""

from collections.abc import Iterator, Mapping

import pytest
from looks_kit import Shot, shots
from looks_screens import SCREENS
from rich.color import Color, ColorSystem
from rich.segment import Segment

LEAST = 4.5
"""WCAG 2.1, success criterion 1.4.3."""
LEAST_FOR_A_ROW = 1.3
"""Of the ground of the cursor's row against the ground of the others; the row is set in bold besides."""

DARK, LIGHT = ("#e5e5e5", "#000000"), ("#000000", "#ffffff")
"""Ink and ground of a terminal by itself."""
WORKBENCH: dict[str, str] = {}
DAYLIGHT = {"TRAVELER_THEME": "daylight"}
CONTRAST = {"TRAVELER_THEME": "contrast"}
FEW = {"TERM": "xterm"}
CONTRAST_IN_FEW = {"TERM": "xterm", "TRAVELER_THEME": "contrast"}
NONE = {"NO_COLOR": "1"}
WAYS = {
    "workbench": (WORKBENCH, ColorSystem.TRUECOLOR, DARK),
    "workbench in 256 colours": (WORKBENCH, ColorSystem.EIGHT_BIT, DARK),
    "daylight": (DAYLIGHT, ColorSystem.TRUECOLOR, DARK),
    "daylight in 256 colours": (DAYLIGHT, ColorSystem.EIGHT_BIT, LIGHT),
    "contrast": (CONTRAST, ColorSystem.TRUECOLOR, LIGHT),
    "contrast in 16 colours": (CONTRAST_IN_FEW, ColorSystem.STANDARD, LIGHT),
    "16 colours on black": (FEW, ColorSystem.STANDARD, DARK),
    "16 colours on white": (FEW, ColorSystem.STANDARD, LIGHT),
    "no colours on black": (NONE, ColorSystem.STANDARD, DARK),
    "no colours on white": (NONE, ColorSystem.STANDARD, LIGHT),
}


def luminance(colour: tuple[int, int, int]) -> float:
    """Relative luminance, WCAG 2.1."""
    parts = [part / 255 for part in colour]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def ratio(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Contrast of two colours, WCAG 2.1."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def seen(colour: Color | None, system: ColorSystem, default: str) -> tuple[int, int, int]:
    """A colour as a terminal of so many colours shows it."""
    if colour is None or colour.is_default:
        colour = Color.parse(default)
    elif system is not ColorSystem.TRUECOLOR:
        colour = colour.downgrade(system)
    return tuple(colour.get_truecolor())


def ink_and_ground(
    segment: Segment, system: ColorSystem, default: tuple[str, str]
) -> tuple[tuple[int, int, int], tuple[int, int, int]]:
    """The colours in which a piece of a line is seen, reversed where it is."""
    style = segment.style
    ink = seen(style.color if style else None, system, default[0])
    ground = seen(style.bgcolor if style else None, system, default[1])
    return (ground, ink) if style and style.reverse else (ink, ground)


def faint(shot: Shot, system: ColorSystem, default: tuple[str, str]) -> Iterator[str]:
    """The words that cannot be read well."""
    for line in shot.lines:
        for segment in line:
            if any(letter.isalnum() for letter in segment.text):
                found = ratio(*ink_and_ground(segment, system, default))
                if found < LEAST or (segment.style and segment.style.dim):
                    yield f"{segment.text.strip()}: {found:.2f}"


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS)
def test_every_letter_can_be_read(way: str) -> None:
    environ, system, default = WAYS[way]
    unreadable = {name: list(faint(shot, system, default)) for name, shot in _all(environ).items()}
    assert unreadable == {name: [] for name in SCREENS}


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS)
def test_the_row_of_the_cursor_is_another_than_the_rest(way: str) -> None:
    environ, system, default = WAYS[way]
    with_cursor = {name: shot for name, shot in _all(environ).items() if shot.cursor is not None}
    assert {"board", "job", "step", "charts", "nonconformances"} <= set(with_cursor)
    for name, shot in with_cursor.items():
        assert shot.cursor is not None
        grounds = [
            ink_and_ground(_first_words(line), system, default)[1]
            for line in (shot.lines[shot.cursor], shot.lines[-3])
        ]
        assert ratio(*grounds) >= LEAST_FOR_A_ROW, name


def _first_words(line: tuple[Segment, ...]) -> Segment:
    return next((segment for segment in line if segment.text.strip()), line[0])


@pytest.mark.slow
@pytest.mark.parametrize("environ", [FEW, NONE, {**FEW, **NONE}], ids=["16 colours", "none", "both"])
def test_where_colours_are_few_the_terminals_own_are_all_that_is_used(environ: dict[str, str]) -> None:
    for name, shot in _all(environ).items():
        for line in shot.lines:
            for segment in line:
                style = segment.style
                for colour in (style.color, style.bgcolor) if style else ():
                    assert colour is None or colour.is_default, f"{name}: {segment.text}"


def _all(environ: Mapping[str, str]) -> Mapping[str, Shot]:
    return shots((80, 24), **environ)
