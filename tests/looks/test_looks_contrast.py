"""Every letter of every screen can be read in every theme, and the row of the cursor told from the others."""

from collections.abc import Iterator

import pytest
from looks_kit import THEMED_SIZE, Shot, shots
from looks_screens import SCREENS
from rich.color import Color, ColorSystem
from rich.segment import Segment
from textual.theme import Theme

from traveler.tui.theme import THEMES

LEAST = 4.5
"""WCAG 2.1, success criterion 1.4.3."""
LEAST_FOR_A_ROW = 1.3
"""Of the ground of the cursor's row against the ground of the others; the row is set in bold besides."""

DARK, LIGHT = ("#e5e5e5", "#000000"), ("#000000", "#ffffff")
"""Ink and ground of a terminal by itself."""
MANY: dict[str, str] = {}
FEW, NONE = {"TERM": "xterm"}, {"NO_COLOR": "1"}
WAYS = {
    "workbench": (MANY, "workbench", ColorSystem.TRUECOLOR, DARK),
    "workbench in 256 colours": (MANY, "workbench", ColorSystem.EIGHT_BIT, DARK),
    "daylight": (MANY, "daylight", ColorSystem.TRUECOLOR, DARK),
    "daylight in 256 colours": (MANY, "daylight", ColorSystem.EIGHT_BIT, LIGHT),
    "contrast": (MANY, "contrast", ColorSystem.TRUECOLOR, LIGHT),
    "contrast in 16 colours": (FEW, "contrast", ColorSystem.STANDARD, LIGHT),
    "terminal on black": (MANY, "terminal", ColorSystem.TRUECOLOR, DARK),
    "16 colours on black": (FEW, "terminal", ColorSystem.STANDARD, DARK),
    "16 colours on white": (FEW, "terminal", ColorSystem.STANDARD, LIGHT),
    "no colours on black": (NONE, "terminal", ColorSystem.STANDARD, DARK),
    "no colours on white": (NONE, "terminal", ColorSystem.STANDARD, LIGHT),
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
    environ, theme, system, default = WAYS[way]
    unreadable = {
        name: list(faint(shot, system, default))
        for name, shot in shots(THEMED_SIZE, theme, **environ).items()
    }
    assert unreadable == {name: [] for name in SCREENS}


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS)
def test_the_row_of_the_cursor_is_another_than_the_rest(way: str) -> None:
    environ, theme, system, default = WAYS[way]
    with_cursor = {
        name: shot for name, shot in shots(THEMED_SIZE, theme, **environ).items() if shot.cursor is not None
    }
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
@pytest.mark.parametrize("environ", [MANY, FEW, NONE], ids=["256 colours", "16 colours", "none"])
def test_the_theme_of_the_terminal_uses_nothing_but_its_own_colours(environ: dict[str, str]) -> None:
    for name, shot in shots(THEMED_SIZE, "terminal", **environ).items():
        for line in shot.lines:
            for segment in line:
                style = segment.style
                for colour in (style.color, style.bgcolor) if style else ():
                    assert colour is None or colour.is_default, f"{name}: {segment.text}"


@pytest.mark.parametrize(
    "system", [ColorSystem.TRUECOLOR, ColorSystem.EIGHT_BIT], ids=lambda system: system.name
)
@pytest.mark.parametrize("theme", [theme for theme in THEMES if not theme.ansi], ids=lambda theme: theme.name)
def test_every_tone_can_be_read_on_the_page_and_under_the_cursor(theme: Theme, system: ColorSystem) -> None:
    of = theme.variables
    cursor = of["block-cursor-background"]
    tones = (theme.foreground, theme.primary, theme.accent, theme.success, theme.warning, theme.error)
    pairs = [(tone, ground) for tone in tones for ground in (theme.background, cursor)]
    pairs += [
        (theme.foreground, theme.panel),
        (of["faint"], theme.panel),
        (of["focus-faint"], of["focus-background"]),
    ]
    parts = ("block-cursor", "heading", "focus", "input-cursor", "input-selection")
    pairs += [(of[f"{part}-foreground"], of[f"{part}-background"]) for part in parts]
    for ink, ground in pairs:
        found = ratio(seen(Color.parse(str(ink)), system, ""), seen(Color.parse(str(ground)), system, ""))
        assert found >= LEAST, (ink, ground)
