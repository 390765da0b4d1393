"""The secret as it is asked in a real terminal: after what is signed, unseen, and nowhere else afterwards."""

import os
import signal
import sys
import termios
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pexpect
import pytest
from pty_kit import SHEETS, environment

from traveler.acts.change import load_job
from traveler.acts.clock import SystemClock
from traveler.acts.issue import issue
from traveler.acts.people import NewPerson, register_person
from traveler.acts.readings import NewReading, record_reading
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.secrets import Scheme, Secret
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

pytestmark = pytest.mark.terminal

OLGA, WIM = "bEaM oF oLgA 40", "wElDeR oF wIm 41"  # invented
NUMBER = "H-014"
WIMS_PROMPT = r"Secret of Wim Two \(P2\), not shown: "


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop with an owner and a welder, whose secrets are quick to compare; one job with one reading."""
    monkeypatch.setattr(secrets, "USUAL", Scheme(log2_n=4, r=8, p=1))
    path, clock = tmp_path / "shop.traveler", SystemClock()
    with Shop.create(path) as made:
        olga = Secret(OLGA)
        register_person(made, clock, None, NewPerson("Olga Vance", ["inspector"]), new_secret=olga)
        register_person(
            made, clock, Person("P1"), NewPerson("Wim Two", ["welder"]), new_secret=Secret(WIM), secret=olga
        )
        issue(made, clock, Person("P1"), (SHEETS / "bracket.toml").read_bytes(), secret=olga)
        record(made, "web", "320 F")
    return path


def record(shop: Shop, place: str, value: str) -> bool:
    entered = NewReading(40, "preheat temperature", value, place=place)
    return record_reading(shop, SystemClock(), Person("P2"), NUMBER, entered).recorded


Run = Callable[..., pexpect.spawn]


@pytest.fixture
def run(shop: Path) -> Iterator[Run]:
    """Runs commands of the program on the shop in terminals, which are closed in the end."""
    children: list[pexpect.spawn] = []

    def one(*arguments: str, **changes: str) -> pexpect.spawn:
        child = pexpect.spawn(
            sys.executable, ["-m", "traveler", *arguments], timeout=20, dimensions=(40, 100),
            env=environment(TRAVELER_SHOP=str(shop), **changes), encoding="utf-8",
        )  # fmt: skip
        child.delaybeforesend = 0
        children.append(child)
        return child

    yield one
    for child in children:
        child.close(force=True)


SIGN = ("sign", NUMBER, "40", "--as", "performed", "--by", "wim two")


def ended(child: pexpect.spawn) -> tuple[int | None, str]:
    """Exit status, and what was written after the prompt."""
    child.expect(pexpect.EOF)
    child.wait()
    return child.exitstatus, " ".join(child.before.split())


def performed(shop: Path) -> int:
    with Shop.open(shop, read_only=True) as opened:
        return len(load_job(opened, NUMBER).performed)


def echoes(child: pexpect.spawn) -> bool:
    return bool(termios.tcgetattr(child.child_fd)[3] & termios.ECHO)


def test_what_is_signed_is_shown_and_the_secret_is_not(shop: Path, run: Run) -> None:
    child = run(*SIGN, SSH_CONNECTION="203.0.113.7 50122 198.51.100.4 22")
    child.expect(WIMS_PROMPT)
    shown = " ".join(child.before.split())
    for text in (
        "Wim Two (P2) signs that step 40 of job H-014, revision 1, was performed as written:",
        "preheat temperature",
        "320 °F (160.0 °C) at web: met",
        "1 reading",
        "content ",
    ):
        assert text in shown, text
    assert not echoes(child)
    if sys.platform == "linux":
        of_process = [Path(f"/proc/{child.pid}/{name}").read_bytes() for name in ("cmdline", "environ")]
        assert all(WIM.encode() not in text for text in of_process)
    child.sendline(WIM)
    status, told = ended(child)
    assert (status, told) == (0, "step 40 signed as performed by Wim Two")
    assert performed(shop) == 1
    with Shop.open(shop) as opened:
        signature = load_job(opened, NUMBER).performed[0]
        bodies = [event.body for name in ("shop", f"job {NUMBER}") for event in opened.events(name)]
    assert (signature.by.how, signature.by.id) == ("signed", "P2")
    assert signature.session is not None
    assert signature.session["origin"] == "203.0.113.7"
    assert str(signature.session["terminal"]).startswith("/dev/")
    everything = shown + told + "".join(bodies) + shop.read_bytes().decode("latin-1")
    assert not any(part in everything for part in (WIM, WIM[4:]))


def test_a_wrong_secret_is_status_1_and_locks_over_programs(shop: Path, run: Run) -> None:
    for number in range(6):
        child = run(*SIGN)
        child.expect(WIMS_PROMPT)
        child.sendline("nOt HiS aT aLl")
        status, told = ended(child)
        assert status == 1
        words = "wrong secret for" if number < 5 else "too many wrong secrets for"
        assert told.startswith(f"step 40 is not signed {words} Wim Two")
        assert "HiS" not in told
    child = run(*SIGN)
    child.expect(WIMS_PROMPT)
    child.sendline(WIM)
    assert "the next try is admitted at" in ended(child)[1]
    assert performed(shop) == 0
    assert verify_shop(shop).ok
    # Nobody else waits for Wim.
    child = run(*SIGN[:-1], "P1")
    child.expect(r"Secret of Olga Vance \(P1\), not shown: ")
    child.sendline(OLGA)
    assert ended(child)[0] == 0


@pytest.mark.parametrize(("keys", "status"), [("\x03", 130), ("\x04", 2), ("\r", 2)])
def test_leaving_the_question_does_nothing_and_leaves_the_terminal_as_it_was(
    shop: Path, run: Run, keys: str, status: int
) -> None:
    child = run(*SIGN)
    child.expect(WIMS_PROMPT)
    child.send(keys)
    found, told = ended(child)
    assert found == status
    assert ("nothing was entered, and nothing was done" in told) is (status == 2)
    assert echoes(child)
    assert performed(shop) == 0


def test_what_was_typed_ahead_is_no_answer(shop: Path, run: Run) -> None:
    child = run(*SIGN)
    child.sendline("tYpEd ahead of it")
    child.expect(WIMS_PROMPT)
    child.sendline(WIM)
    assert ended(child)[0] == 0
    assert performed(shop) == 1


def test_who_is_stopped_at_the_question_holds_nobody_and_stays_unseen(
    shop: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    child = run(*SIGN)
    child.expect(WIMS_PROMPT)
    os.kill(child.pid, signal.SIGSTOP)
    # With no patience at all: a lock that was held would be said at once.
    monkeypatch.setattr("traveler.record.connection.BUSY_SECONDS", 0.0)
    with Shop.open(shop) as other:
        assert record(other, "flange", "310 F")
    # What a shell does with the terminal meanwhile.
    attributes = termios.tcgetattr(child.child_fd)
    attributes[3] |= termios.ECHO
    termios.tcsetattr(child.child_fd, termios.TCSANOW, attributes)
    os.kill(child.pid, signal.SIGCONT)
    deadline = time.monotonic() + 10
    while echoes(child) and time.monotonic() < deadline:
        time.sleep(0.02)
    assert not echoes(child)
    child.sendline(WIM)
    status, told = ended(child)
    # The step is no longer the one that was shown.
    assert (status, "stale: the step has changed since you looked at it" in told) == (1, True)
    assert WIM not in told
    assert performed(shop) == 0


def test_it_is_asked_on_the_terminal_wherever_the_answer_goes(shop: Path, run: Run, tmp_path: Path) -> None:
    answer = tmp_path / "answer.txt"
    command = f'"{sys.executable}" -m traveler {" ".join(SIGN[:-1])} P2 > "{answer}" < /dev/null'
    child = pexpect.spawn(
        "/bin/sh", ["-c", command], timeout=20, env=environment(TRAVELER_SHOP=str(shop)), encoding="utf-8"
    )
    child.expect(WIMS_PROMPT)
    child.sendline(WIM)
    assert ended(child)[0] == 0
    assert answer.read_text() == "step 40 signed as performed by Wim Two\n"


def test_a_new_secret_is_typed_twice(shop: Path, run: Run) -> None:
    def change(first: str, second: str) -> tuple[int | None, str]:
        child = run("person", "secret", "P2")
        child.expect(r"Present secret of Wim Two \(P2\), not shown: ")
        child.sendline(WIM)
        child.expect(r"New secret of Wim Two \(P2\), not shown: ")
        child.sendline(first)
        child.expect(r"New secret of Wim Two \(P2\) again, not shown: ")
        child.sendline(second)
        return ended(child)

    assert change("aNoThEr one 5", "aNoThEr one 6") == (
        2,
        "traveler: the two were not the same; nothing was set",
    )
    assert change("12345", "12345")[0] == 2
    status, told = change("aNoThEr one 5", "aNoThEr one 5")
    assert (status, told) == (0, "the secret of P2 Wim Two is set")
    assert b"aNoThEr" not in shop.read_bytes()
    assert verify_shop(shop).ok


def test_the_job_is_shown_before_it_is_closed(shop: Path, run: Run) -> None:
    child = run("close", NUMBER, "--by", "P1")
    child.expect(r"Secret of Olga Vance \(P1\), not shown: ")
    shown = " ".join(child.before.split())
    assert "Olga Vance (P1) signs that job H-014" in shown
    assert "step 40, preheat: in work" in shown
    child.sendline(OLGA)
    status, told = ended(child)
    assert (status, "step 40 preheat is not accepted" in told) == (1, True)


def test_the_first_person_begins_a_shop_at_the_terminal(tmp_path: Path) -> None:
    path = tmp_path / "new" / "shop.traveler"
    child = pexpect.spawn(
        sys.executable, ["-m", "traveler", "person", "add", "Olga Vance"], timeout=30, dimensions=(40, 100),
        env=environment(TRAVELER_SHOP=str(path)), encoding="utf-8",
    )  # fmt: skip
    child.delaybeforesend = 0
    child.expect("New secret of Olga Vance, not shown: ")
    assert not path.exists()
    child.sendline(OLGA)
    child.expect("New secret of Olga Vance again, not shown: ")
    child.sendline(OLGA)
    status, told = ended(child)
    assert status == 0
    assert told.startswith("P1 Olga Vance is registered as owner shop file: ")
    assert "Recovery code, shown this once." in told
    assert OLGA not in told
    assert OLGA.encode() not in path.read_bytes()
    assert verify_shop(path).ok
