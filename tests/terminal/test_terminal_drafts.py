"""What was half typed when the line dropped is offered at the next start, and recorded only when somebody does."""

import signal
from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, Terminal, readings

pytestmark = pytest.mark.terminal


@pytest.fixture
def state(tmp_path: Path) -> dict[str, str]:
    """The state folder of this test's own account."""
    return {"XDG_STATE_HOME": str(tmp_path / "state")}


def half_typed(terminal: Terminal, typed: str) -> None:
    """The form of the preheat, with something in it."""
    assert terminal.sees("Enter Record")
    terminal.send("r")
    assert terminal.sees("F10 Record")
    terminal.send(typed)
    assert terminal.sees(typed.rsplit("\t", 1)[-1])
    terminal.quiet(0.3)


@pytest.mark.parametrize("name", ["SIGHUP", "SIGTERM", "SIGKILL"])
def test_it_is_offered_again_after_a_signal(
    shop_path: Path, opened: Callable[..., Terminal], state: dict[str, str], name: str
) -> None:
    terminal = opened(shop_path, "H-014", **state)
    half_typed(terminal, "312 F\tcorner 7")
    terminal.child.kill(getattr(signal, name))
    terminal.ends()
    again = opened(shop_path, **state)
    assert again.sees("1 unfinished entry", 20), again.display
    assert again.sees("Record preheat temperature")
    again.send("\r")
    assert again.sees("is back; it is not recorded yet")
    assert again.sees("312 F")
    if name != "SIGKILL":  # which leaves no time for the field that is being typed into
        assert again.sees("corner 7")
    assert readings(shop_path) == []
    again.send(F10)
    assert again.sees("reading 1 recorded")
    again.send("\x11")
    assert again.ends() == 0
    last = opened(shop_path, **state)
    assert last.sees("1 job in", 20)
    assert "unfinished" not in last.display


def test_a_terminal_that_is_closed_loses_nothing(
    shop_path: Path, opened: Callable[..., Terminal], state: dict[str, str]
) -> None:
    terminal = opened(shop_path, "H-014", **state)
    half_typed(terminal, "312")
    terminal.child.ptyproc.fileobj.close()  # the kernel hangs up on whom the terminal belonged to
    terminal.child.wait()
    assert terminal.child.exitstatus == 128 + signal.SIGHUP
    again = opened(shop_path, **state)
    assert again.sees("312", 20)


def test_two_sessions_keep_their_own(
    shop_path: Path, opened: Callable[..., Terminal], state: dict[str, str]
) -> None:
    one, two = opened(shop_path, "H-014", **state), opened(shop_path, "H-014", **state)
    half_typed(one, "311 F\tcorner 7")
    half_typed(two, "322 F\tcorner 8")
    one.child.kill(signal.SIGKILL)
    one.ends()
    third = opened(shop_path, **state)
    assert third.sees("1 unfinished entry", 20)
    assert "311 F" in third.display
    assert "322 F" not in third.display
    two.send(F10)
    assert two.sees("reading 1 recorded")
    assert [reading["typed"] for reading in readings(shop_path)] == ["322 F"]
