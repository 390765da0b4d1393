"""Readable with few colours or none, silent when nothing happens, sparing with bytes, and two at a time."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, Terminal, readings

pytestmark = pytest.mark.terminal

XTERM = {
    "black": "000000", "red": "cd0000", "green": "00cd00", "brown": "cdcd00", "blue": "0000ee",
    "magenta": "cd00cd", "cyan": "00cdcd", "white": "e5e5e5", "brightblack": "7f7f7f", "brightred": "ff0000",
    "brightgreen": "00ff00", "brightbrown": "ffff00", "brightblue": "5c5cff", "brightmagenta": "ff00ff",
    "brightcyan": "00ffff", "brightwhite": "ffffff",
}  # fmt: skip
"""The palette of xterm (its default X resources)."""


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.1."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrasts(terminal: Terminal) -> dict[str, float]:
    """The least contrast (WCAG 2.1) of the letters and digits in each line, on a terminal that is light on black."""
    found: dict[str, float] = {}
    for row, line in enumerate(terminal.screen.display):
        for column, cell in terminal.screen.buffer[row].items():
            if not cell.data.isalnum():
                continue
            ink = "e5e5e5" if cell.fg == "default" else XTERM.get(cell.fg, cell.fg)
            ground = "000000" if cell.bg == "default" else XTERM.get(cell.bg, cell.bg)
            light, dark = sorted((luminance(ink), luminance(ground)), reverse=True)
            where = f"{line.strip()} [{column}]"
            found[where] = (light + 0.05) / (dark + 0.05)
    return found


@pytest.mark.parametrize(
    "changes",
    [
        {"TERM": "xterm-256color"},
        {"TERM": "xterm-256color", "COLORTERM": "truecolor"},
        {"TERM": "xterm"},
        {"TERM": "linux"},
        {"TERM": "xterm", "NO_COLOR": "1"},
        {"TERM": "xterm-256color", "NO_COLOR": "1"},
        {"TERM": "screen", "NO_COLOR": "1", "TRAVELER_ASCII": "1"},
        {"TERM": "screen", "TRAVELER_THEME": "contrast"},
        {"TERM": "xterm-256color", "TRAVELER_THEME": "daylight"},
        {"TERM": "xterm-256color", "TRAVELER_THEME": "contrast"},
    ],
    ids=lambda changes: " ".join(f"{k}={v}" for k, v in changes.items()),
)
def test_every_letter_has_a_contrast_of_at_least_4_5(
    shop_path: Path, opened: Callable[..., Terminal], changes: dict[str, str]
) -> None:
    # WCAG 2.1, success criterion 1.4.3.
    terminal = opened(shop_path, "H-014", **changes)
    for keys, shown in (
        ("", "Enter Record"),
        ("r", "F10 Record"),
        (f"300{F10}", "unit is missing"),
        ("\x1b", "kept"),
    ):
        if keys:
            terminal.send(keys)
        assert terminal.sees(shown)
        terminal.quiet(0.1)
        low = {where: ratio for where, ratio in contrasts(terminal).items() if ratio < 4.5}
        assert not low
    assert "- not shown" in terminal.display
    cursor_row = terminal.screen.buffer[1]
    assert any(cell.reverse or cell.bg != "default" for cell in cursor_row.values())


def test_a_terminal_that_was_tiny_for_a_moment_shows_everything_again(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    terminal.send("r")
    assert terminal.sees("F10 Record")
    terminal.send("x" * 1_000)  # keeps it at work, so that it hears of both sizes at once
    terminal.child.setwinsize(1, 3)
    terminal.unread(0.1)
    terminal.child.setwinsize(24, 80)
    terminal.screen.erase_in_display(2)  # as a terminal does that was made smaller
    assert terminal.sees("no more characters are taken")
    assert terminal.sees("Limit: at least")
    assert terminal.sees("F10 Record")


def test_nothing_is_written_while_nothing_happens(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path, "H-014")
    assert terminal.sees("Enter Record")
    terminal.send("r")
    assert terminal.sees("F10 Record")
    terminal.quiet(0.5)
    assert terminal.quiet(5.0) == b""


def test_keys_cost_few_bytes(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    # Budgets for 80x24 in 256 colours; at 64 kbit/s a kilobyte is an eighth of a second.
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job")
    terminal.quiet(0.5)
    assert len(terminal.raw) <= 20_000
    terminal.send("\r\r\r")
    assert terminal.sees("F10 Record")
    terminal.quiet(0.5)
    terminal.send("3")
    assert len(terminal.quiet(0.4)) <= 300
    terminal.send("\t")
    assert len(terminal.quiet(0.4)) <= 1_200


def test_two_programs_on_one_shop_see_each_other(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    one, two = opened(shop_path, "H-014"), opened(shop_path, "H-014")
    assert one.sees("Enter Record")
    assert two.sees("Enter Record")
    one.send("r")
    assert one.sees("F10 Record")
    one.send(f"312 F\tplate{F10}")
    assert one.sees("reading 1 recorded")
    assert two.sees("2 readings needed, 1 taken")
    two.send("r")
    assert two.sees("F10 Record")
    two.send(f"305 F\trail{F10}")
    assert two.sees("reading 2 recorded")
    assert one.sees("+ met")
    assert [reading["place"] for reading in readings(shop_path)] == ["plate", "rail"]


def test_no_mouse_over_ssh(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    far = opened(shop_path, SSH_CONNECTION="192.0.2.1 50000 192.0.2.2 22")
    assert far.sees("Enter Open job")
    assert b"\x1b[?1003h" not in far.raw


def test_a_decimal_comma_is_refused_in_words_and_a_time_is_the_benchs_own(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = opened(shop_path, "H-014", LANG="de_DE.UTF-8", PYTHONUTF8="1", TZ="America/Los_Angeles")
    assert terminal.sees("Enter Record")
    terminal.send(f"r155,5 C\tplate\t\t2026-03-14T14:30{F10}")
    assert terminal.sees("a decimal comma is not read, so write 155.5")
    terminal.send(f"\x15155.5 C{F10}")
    assert terminal.sees("reading 1 recorded")
    # Daylight saving time began on 8 March 2026 there: seven hours behind UTC.
    (reading,) = readings(shop_path)
    assert (reading["typed"], reading["happened_at"]) == ("155.5 C", "2026-03-14T14:30:00-07:00")
