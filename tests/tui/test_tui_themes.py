"""Which theme a terminal gets, and that a change of it stays."""

import os
import stat
from pathlib import Path

import pytest
from tui_kit import one_line, press, screen_text

from traveler.errors import BadInput
from traveler.record.chosen import choose, chosen
from traveler.record.place import chosen_folder
from traveler.tui.app import TravelerApp
from traveler.tui.looks import CALM, PLAIN, Looks, looks_for
from traveler.tui.session import Session
from traveler.tui.theme import THEMES

MANY = {"TERM": "xterm-256color"}


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder for state of the test's own."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("HOME", str(tmp_path))


@pytest.mark.parametrize(
    ("environ", "remembered", "theme"),
    [
        (MANY, "", "workbench"),
        ({**MANY, "COLORFGBG": "15;0"}, "", "workbench"),
        ({**MANY, "COLORFGBG": "0;15"}, "", "daylight"),
        ({**MANY, "COLORFGBG": "0;default;15"}, "", "daylight"),
        ({**MANY, "COLORFGBG": "0;15"}, "workbench", "workbench"),
        (MANY, "daylight", "daylight"),
        (MANY, "no such theme", "workbench"),
        ({**MANY, "TRAVELER_THEME": "contrast"}, "daylight", "contrast"),
        ({**MANY, "TRAVELER_THEME": ""}, "daylight", "daylight"),
        ({"TERM": "xterm"}, "", "terminal"),
        ({"TERM": "xterm"}, "daylight", "terminal"),
        ({"TERM": "screen", "TRAVELER_THEME": "contrast"}, "", "contrast"),
        ({"TERM": "linux", "TRAVELER_THEME": "workbench"}, "", "terminal"),
        ({**MANY, "NO_COLOR": "1"}, "", "terminal"),
        ({**MANY, "NO_COLOR": "1", "TRAVELER_THEME": "contrast"}, "daylight", "terminal"),
        ({"TERM": "xterm", "NO_COLOR": "1"}, "contrast", "terminal"),
    ],
)
def test_the_environment_counts_before_what_was_chosen_and_the_terminal_before_both(
    environ: dict[str, str], remembered: str, theme: str
) -> None:
    assert looks_for(environ, remembered).theme == theme


@pytest.mark.parametrize("environ", [MANY, {"TERM": "xterm"}, {"NO_COLOR": "1"}])
def test_a_theme_that_does_not_exist_is_refused(environ: dict[str, str]) -> None:
    with pytest.raises(BadInput, match="TRAVELER_THEME is 'dusk', expected one of: workbench, daylight"):
        looks_for({**environ, "TRAVELER_THEME": "dusk"}, "")


@pytest.mark.slow
async def test_a_key_takes_each_theme_in_turn_and_the_last_one_is_remembered(session: Session) -> None:
    app = TravelerApp(session, looks=CALM)
    async with app.run_test() as pilot:
        for theme in (*THEMES[1:], THEMES[0]):
            await press(pilot, "f9")
            assert app.theme == theme.name
            assert f"theme {theme.name}, remembered" in screen_text(app)
            assert chosen(os.environ, "theme") == theme.name
        await press(pilot, "f9", "enter", "down", "enter", "r", "3", "f9", "1")
        assert app.theme == "contrast"
        assert "31" in screen_text(app), "what is typed stays"
    assert looks_for(MANY, chosen(os.environ, "theme")).theme == "contrast"


async def test_where_the_environment_names_a_theme_the_change_says_so(session: Session) -> None:
    app = TravelerApp(session, looks=Looks(theme="contrast", stated=True))
    async with app.run_test() as pilot:
        await press(pilot, "f9")
        assert "theme terminal; the next start takes what TRAVELER_THEME says" in one_line(screen_text(app))


async def test_without_colours_there_is_nothing_to_choose(session: Session) -> None:
    app = TravelerApp(session, looks=PLAIN)
    async with app.run_test() as pilot:
        await press(pilot, "f9")
        assert app.theme == "terminal"
        assert "the terminal's own" in screen_text(app)
    assert chosen(os.environ, "theme") == ""


async def test_a_choice_that_cannot_be_kept_is_said_and_holds_until_the_end(session: Session) -> None:
    folder = chosen_folder(os.environ)
    folder.parent.mkdir(parents=True, exist_ok=True)
    folder.write_text("a file where the folder should be")
    app = TravelerApp(session, looks=CALM)
    async with app.run_test() as pilot:
        await press(pilot, "f9")
        assert app.theme == "daylight"
        assert "could not be remembered" in one_line(screen_text(app))


def test_a_choice_is_a_small_file_of_the_accounts_own() -> None:
    choose(os.environ, "theme", "daylight")
    choose(os.environ, "theme", "contrast")
    (file,) = chosen_folder(os.environ).iterdir()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700
    assert file.read_text() == "contrast\n"


@pytest.mark.parametrize("content", [b"\xff\xfe", b"", b"x" * 10_000])
def test_a_choice_that_cannot_be_read_is_none(content: bytes) -> None:
    choose(os.environ, "theme", "daylight")
    (chosen_folder(os.environ) / "theme").write_bytes(content)
    assert looks_for(MANY, chosen(os.environ, "theme")).theme == "workbench"
