"""Keys of one's own: taken in their place and turn, shown everywhere, refused in one sentence where they clash."""

from pathlib import Path

import pytest
from textual.binding import Binding
from tui_kit import app_on, one_line, press, screen_text, typed

from traveler.errors import BadInput
from traveler.tui.app import TravelerApp
from traveler.tui.compat import bindings_of
from traveler.tui.key_file import key_file_text, key_map, read_key_file
from traveler.tui.keys import GROUPS
from traveler.tui.screens.help import Help
from traveler.tui.screens.reading import Reading
from traveler.tui.screens.sign import Perform
from traveler.tui.screens.step import Step
from traveler.tui.session import Session

pytestmark = pytest.mark.slow


def test_a_file_says_keys_by_id_as_they_are_printed_on_the_keyboard() -> None:
    text = 'step.record = "f5"\n[list]\ndown = "J"\nup = "K"\npage_down = "Page Up"\npage_up = "pagedown"\n'
    assert key_map(text) == {
        "step.record": "f5", "list.down": "J", "list.up": "K", "list.page_down": "pageup", "list.page_up": "pagedown",
    }  # fmt: skip


def test_no_file_and_a_file_that_changes_nothing_leave_the_keys_as_they_are(tmp_path: Path) -> None:
    assert read_key_file(tmp_path / "keys.toml") == {}
    printed = key_file_text({}).replace("\n# ", "\n")
    assert 'step.enter = "Enter"' in printed
    titles = {group.title for group in GROUPS}
    lines = [line for line in printed.splitlines() if line not in titles]
    assert key_map("\n".join(lines)) == {}


def test_what_is_printed_is_read_again() -> None:
    keymap = {"step.perform": "quotation_mark", "step.correct": "backslash", "list.back": "ctrl+t"}
    assert key_map(key_file_text(keymap)) == keymap


def test_the_example_of_the_documentation_is_taken() -> None:
    text = (Path(__file__).parents[2] / "docs" / "keys.md").read_text()
    example = text.split("```toml\n")[1].split("```")[0]
    assert key_map(example) == {
        "step.record": "f5", "step.perform": "y", "list.down": "j", "list.up": "k",
    }  # fmt: skip


def test_two_acts_may_change_places() -> None:
    assert key_map('step.perform = "a"\nstep.accept = "p"') == {"step.perform": "a", "step.accept": "p"}


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('step.rekord = "f5"', "step.rekord: no key of the app has this id; traveler keys lists them all"),
        ('step = "f5"', "step: no key of the app has this id; traveler keys lists them all"),
        ('step.record = "f77"', 'step.record: "f77" is no key; expected one such as "r", "F5", "Page Up" or "Ctrl+T"'),
        ('step.record = ""', 'step.record: "" is no key; expected one such as "r", "F5", "Page Up" or "Ctrl+T"'),
        ("step.record = 5", 'step.record: 5 is no key; expected one such as "r", "F5", "Page Up" or "Ctrl+T"'),
        ('step.record = "ctrl+m"', 'step.record: "ctrl+m" is no key; '),
        ('step.record = ["a"]', "step.record: ['a'] is no key; "),
        ('step.record = "p"', "step.record: p is the key of step.perform on the same screen"),
        ('list.down = "o"', "list.down: o is the key of registers.opened on the same screen"),
        ('step.record = "ctrl+q"', "step.record: Ctrl+Q is the key of app.quit on the same screen"),
        ('form.commit = "tab"', "form.commit: Tab is the key of form.next on the same screen"),
        ('form.commit = "up"', "form.commit: Up is the key of choice.up on the same screen"),
        ('form.commit = "s"', "form.commit: s is text in a field; expected a key such as F5"),
        ('form.commit = "\\\\"', "form.commit: \\ is text in a field; "),
        ('step.record = "\u00b0"', 'step.record: "\u00b0" is no key; '),
        ('form.commit = "space"', "form.commit: Space is text in a field; expected a key such as F5"),
        ('app.actions = "x"', "app.actions: x is "),
        ('form.leave = "left"', "form.leave: Left edits what is typed in a field; expected a key such as F5"),
    ],
)  # fmt: skip
def test_what_cannot_be_a_key_is_said_in_one_sentence_with_its_place(text: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        key_map(text)
    assert str(refused.value).startswith(sentence)


@pytest.mark.parametrize(
    "data", [b"\xff\xfe", b"step.record = f5", b"a = 1\n" * 20_000, b"[[step]]\nrecord = 1"]
)
def test_a_file_that_is_none_is_said_by_its_name(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "keys.toml"
    path.write_bytes(data)
    with pytest.raises(BadInput, match=r"^keys\.toml: "):
        read_key_file(path)


def test_a_folder_in_its_place_is_said(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"cannot be read"):
        read_key_file(tmp_path)


async def test_a_step_by_keys_of_ones_own(session: Session) -> None:
    keymap = key_map(
        'step.record = "f5"\nstep.perform = "y"\nstep.working = "p"\nform.commit = "f6"\nlist.back = "B"'
    )
    app = TravelerApp(session, "H-014", keymap=keymap)
    async with app.run_test(size=(120, 40)) as pilot:
        await press(pilot, "escape", "down", "enter")
        assert isinstance(app.screen, Step)
        text = screen_text(app)
        assert "y Performed" in text
        assert "p Working" in text
        assert text.index("Enter Record") < text.index("y Performed") < text.index("p Working")
        assert "B Back" in text
        await press(pilot, "r", "q")
        assert isinstance(app.screen, Step)
        await press(pilot, "f5")
        assert isinstance(app.screen, Reading)
        assert "F6 Record" in screen_text(app)
        await press(pilot, *typed("312 F"), "f10")
        assert isinstance(app.screen, Reading)
        await press(pilot, "f6")
        assert isinstance(app.screen, Step)
        assert "reading 1 recorded" in screen_text(app)
        await press(pilot, "y")
        assert isinstance(app.screen, Perform)
        await press(pilot, "f1")
        help_text = one_line(screen_text(app))
        assert isinstance(app.screen, Help)
        assert "F6 or Ctrl+S Sign as performed" in help_text
        await press(pilot, "B", "escape", "B")
        assert not isinstance(app.screen, Step)


async def test_a_key_that_is_moved_takes_no_other_key_of_its_screen_along(session: Session) -> None:
    app = TravelerApp(session, keymap=key_map('board.quit = "Q"\nroutes.combinations = "F7"'))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "q")
        assert "Q Leave" in screen_text(app)
        await press(pilot, "Q")
    assert app.return_value == 0


async def test_a_key_that_is_moved_and_cannot_be_used_says_why(session: Session) -> None:
    app = TravelerApp(session, "H-014", keymap=key_map('step.correct = "y"'))
    async with app.run_test(size=(120, 40)) as pilot:
        await press(pilot, "escape", "down", "enter")
        assert "(y Correct)" in screen_text(app)
        await press(pilot, "y")
        assert "no reading stands here to be corrected" in one_line(screen_text(app))


async def test_a_fault_of_the_file_stands_on_the_status_line_and_in_the_help(session: Session) -> None:
    fault = "keys.toml: step.rekord: no key of the app has this id; the app has its own keys"
    app = TravelerApp(session, keys_fault=fault)
    async with app.run_test(size=(80, 24)) as pilot:
        assert fault in one_line(screen_text(app))
        await press(pilot, "question_mark")
        assert fault in one_line(screen_text(app))


def test_every_key_of_ours_is_found_for_the_check(session: Session) -> None:
    own: set[str] = {str(b.id) for b in bindings_of(TravelerApp) if isinstance(b, Binding)}
    assert {"app.quit", "app.copy"} <= own
    assert app_on(session).key_of("form.commit") == "F10"
