"""Signing in a real terminal: the secret is in no byte, and an app that stops or ends in the dialog leaves no lock
and nothing half."""

import signal
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from pty_kit import F10, SHEETS, Terminal

from traveler.acts.clock import SystemClock
from traveler.acts.issue import issue
from traveler.acts.look import look
from traveler.acts.people import NewPerson, register_person
from traveler.acts.readings import NewReading, record_reading
from traveler.job.person import Person
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

pytestmark = pytest.mark.terminal

JOB = "H-014"
OLGA, IDA = "Olga Vance", "Ida Weld"
SECRETS = {OLGA: "jq9 vx4 zk7", IDA: "qz7xkvjw4"}
SLOW = 25.0
"""Seconds for a secret to be checked on a machine that has other things to do."""


@pytest.fixture
def people_path(tmp_path: Path) -> Path:
    """A shop whose people have secrets, hashed as usual, with one job that waits for a preheat reading."""
    path, clock = tmp_path / "people.traveler", SystemClock()
    olga = Secret(SECRETS[OLGA])
    with Shop.create(path) as shop:
        register_person(shop, clock, None, NewPerson(OLGA), new_secret=olga)
        ida = NewPerson(IDA, ["welder"])
        register_person(shop, clock, Person(OLGA), ida, new_secret=Secret(SECRETS[IDA]), secret=olga)
        issue(shop, clock, Person(OLGA), (SHEETS / "bracket.toml").read_bytes(), secret=olga)
    return path


def performed(path: Path) -> list[str]:
    """Who signed the preheat as performed, as another program sees it."""
    with Shop.open(path, read_only=True) as shop:
        step = look(shop, SystemClock(), JOB)["steps"][0]
    return [f"{signature['by']['name']} {signature['by']['how']}" for signature in step["performed"]]


def record(path: Path, value: str) -> None:
    """Another program records a reading. No statement of it waits for a lock longer than a second."""
    with Shop.open(path) as shop:
        shop.wait_at_most(1)
        entered = NewReading(40, "preheat temperature", value, place="plate")
        assert record_reading(shop, SystemClock(), Person(OLGA), JOB, entered).recorded


def writable_within_a_second(path: Path) -> bool:
    """Whether nobody holds a lock on the file that keeps a writer out for longer."""
    with closing(sqlite3.connect(path, timeout=1.0, isolation_level=None)) as connection:
        try:
            connection.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError:
            return False
        connection.execute("ROLLBACK")
    return True


def in_the_dialog(terminal: Terminal) -> Terminal:
    """Open the signature, which begins at its secret."""
    assert terminal.sees("Enter Record", SLOW)
    terminal.send("p")
    assert terminal.sees("F10 Sign as performed", SLOW)
    assert terminal.sees("it is not shown", SLOW)
    return terminal


def shows_nothing_of(secret: str, terminal: Terminal) -> bool:
    """Whether no two neighbouring letters of it were ever sent to the terminal."""
    pairs = {secret[at : at + 2].encode() for at in range(len(secret) - 1)}
    return not any(pair in terminal.raw for pair in pairs)


def test_the_secret_is_on_no_screen_and_in_no_byte(
    people_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = in_the_dialog(opened(people_path, JOB))
    wrong = "wq8zjxk5v"
    terminal.send(f"{wrong}{F10}")
    assert terminal.sees("! wrong secret for Ida Weld", SLOW)
    for letter in SECRETS[IDA]:  # typed by a person, and before that in one piece, as pasted
        terminal.send(letter)
        terminal.quiet(0.02)
    assert terminal.sees("*" * len(SECRETS[IDA]), SLOW)
    terminal.send(F10)
    assert terminal.sees("step 40 signed as performed by Ida Weld", SLOW)
    terminal.send("q")
    assert terminal.sees("Enter Open step", SLOW)
    terminal.send("\x11")
    assert terminal.ends(SLOW) == 0
    assert shows_nothing_of(SECRETS[IDA], terminal)
    assert shows_nothing_of(wrong, terminal)
    assert SECRETS[IDA].encode() not in people_path.read_bytes()
    assert performed(people_path) == ["Ida Weld signed"]


def test_keys_behind_the_one_that_signs_fall_while_the_secret_is_checked(
    people_path: Path, opened: Callable[..., Terminal]
) -> None:
    terminal = in_the_dialog(opened(people_path, JOB))
    # All in one read, as on a slow line; what follows would open the acceptance and be a name there.
    terminal.send(f"{SECRETS[IDA]}{F10}a{SECRETS[IDA]}")
    assert terminal.sees("step 40 signed as performed by Ida Weld", SLOW)
    terminal.quiet(0.5)
    assert "Enter Record" in terminal.display
    assert shows_nothing_of(SECRETS[IDA], terminal)


@pytest.mark.parametrize("checking", [False, True])
def test_an_app_that_is_frozen_in_the_dialog_keeps_nobody_from_writing(
    people_path: Path, opened: Callable[..., Terminal], checking: bool
) -> None:
    terminal = in_the_dialog(opened(people_path, JOB))
    terminal.send(SECRETS[IDA])
    assert terminal.sees("*" * len(SECRETS[IDA]), SLOW)
    if checking:
        terminal.send(F10)
        assert terminal.sees("checking the secret of Ida Weld", SLOW)
        # The try is counted first, in a moment of its own; hashing takes some tenths of a second after it.
        time.sleep(0.1)
    terminal.child.kill(signal.SIGSTOP)
    try:
        assert writable_within_a_second(people_path)
        record(people_path, "312 F")
    finally:
        terminal.child.kill(signal.SIGCONT)
    if not checking:
        terminal.send(F10)
    # What it was about to sign is no longer what stands there.
    assert terminal.sees("changed by Olga Vance at", SLOW)
    assert terminal.sees("look again", SLOW)
    assert performed(people_path) == []
    assert verify_shop(people_path).ok


@pytest.mark.parametrize("checking", [False, True])
@pytest.mark.parametrize("name", ["SIGHUP", "SIGTERM", "SIGKILL"])
def test_an_app_that_ends_in_the_dialog_leaves_nothing_half(
    people_path: Path, opened: Callable[..., Terminal], name: str, checking: bool
) -> None:
    number = getattr(signal, name)
    terminal = in_the_dialog(opened(people_path, JOB))
    terminal.send(SECRETS[IDA])
    assert terminal.sees("*" * len(SECRETS[IDA]), SLOW)
    if checking:
        terminal.send(F10)
        assert terminal.sees("checking the secret of Ida Weld", SLOW)
        # The try is counted first, in a moment of its own; hashing takes some tenths of a second after it.
        time.sleep(0.1)
    terminal.child.kill(number)
    status = terminal.ends(SLOW)
    if name == "SIGKILL":
        assert terminal.child.signalstatus == signal.SIGKILL
    else:
        assert status == 128 + number
    assert writable_within_a_second(people_path)
    assert verify_shop(people_path).ok
    # The whole signature or none of it; without F10 none.
    assert performed(people_path) in ([], ["Ida Weld signed"] if checking else [])
    assert shows_nothing_of(SECRETS[IDA], terminal)
    # Nothing that was half done is in the way of the next one.
    again = in_the_dialog(opened(people_path, JOB))
    again.send(f"{SECRETS[IDA]}{F10}")
    assert again.sees("signed as performed by Ida Weld", SLOW)
