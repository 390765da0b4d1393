"""Faults that come from around a shop's file: other programs, signals, a full disk, a folder that is read-only."""

import os
import random
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from faults_kit import ACTS, Act, Tally, founded
from record_kit import BY, JOB, NOON, append, finish, plain, start
from secret_kit import make_cheap

from traveler.errors import TravelerError
from traveler.record import connection
from traveler.record.backup import backup
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

BENCH = """
import itertools, sys
from pathlib import Path
from record_kit import append
from traveler.record.shop import Shop
with Shop.open(Path(sys.argv[1])) as shop:
    for number in itertools.count():
        print(append(shop, str(number)).hash.hex(), flush=True)
"""


def killed_at_random(folder: Path) -> Tally:
    """An appending program killed at any moment: every event that it called recorded is there."""
    tally = Tally("kill -9 at random in a loop of commits")
    path, chance, acknowledged = folder / "shop", random.Random(4130), set[str]()
    founded(path)
    for _ in range(60):
        child = start(BENCH, path)
        assert child.stdout is not None
        lines = [child.stdout.readline() for _ in range(chance.randint(1, 20))]
        time.sleep(chance.uniform(0, 0.003))
        child.kill()
        output = child.stdout.read()  # communicate() would pass over what readline has taken in already
        child.communicate()
        lines += [line for line in output.splitlines(keepends=True) if line.endswith("\n")]
        acknowledged |= {line.strip() for line in lines}
        stored = {link for (link,) in plain(path).execute("SELECT lower(hex(hash)) FROM event")}
        tally.count("whole" if acknowledged <= stored and verify_shop(path).ok else "lost")
    return tally


MIXED = """
import sys
from pathlib import Path
from record_kit import append
from secret_kit import RIGHT, WRONG, check, make_cheap, reason, set_secret
from traveler.record.rows import BoardRow
from traveler.record.shop import Shop
make_cheap()
path, who = Path(sys.argv[1]), sys.argv[2]
with Shop.open(path) as shop:
    set_secret(shop, who)
for number in range(20):
    with Shop.open(path) as shop:
        append(shop, str(number), f"job {who}")
        print("event")
        with shop.write() as writing:
            writing.put_board_row(BoardRow(who, str(number), "in process", "", "", ""))
        print("board")
        print(reason(check(shop, WRONG, person=who)))
        print(reason(check(shop, RIGHT, person=who)))
        set_secret(shop, who)
        print("secret", flush=True)
"""


def four_programs(folder: Path) -> Tally:
    """Four programs with 100 acts each of five kinds: every one done, and every answer the right one."""
    tally = Tally("four programs, 100 acts each, at once")
    path = folder / "shop"
    founded(path)
    children = [start(MIXED, path, f"P{number}") for number in range(2, 6)]
    expected = ["event", "board", "wrong", "accepted", "secret"] * 20
    for child in children:
        answers = finish(child, 300).split()
        for answer, right in zip(answers, expected, strict=True):
            tally.count("whole" if answer == right else "lost")
    # Founding, three readings and a secret; then of each program one secret, 20 events and 20 secrets.
    found = verify_shop(path)
    board = plain(path).execute("SELECT title FROM board").fetchall()
    failures = plain(path).execute("SELECT max(failures) FROM secret").fetchone()
    if not (found.ok and found.events == 5 + 4 * 41 and board == [("19",)] * 4 and failures == (0,)):
        tally.lost += 1
    return tally


def verified_meanwhile(folder: Path) -> Tally:
    """Looked through again and again while four programs write into it: no false alarm."""
    tally = Tally("verify, read-only looks and backups while four programs write")
    make_cheap()
    path = folder / "shop"
    founded(path)
    children = [start(MIXED, path, f"P{number}") for number in range(2, 6)]
    while any(child.poll() is None for child in children):
        with Shop.open(path, read_only=True) as shop:
            backup(shop, folder / f"copy {tally.tried}", BY, NOON)
            sound = shop.warning == "" and verify_shop(path).ok
        tally.count("whole" if sound else "lost")
    for child in children:
        finish(child)
    return tally


HOLDER = """
import signal, sys, time
from pathlib import Path
from record_kit import BY, JOB, NOON
from secret_kit import RIGHT, check, make_cheap
from traveler.record.secrets import Verifier
from traveler.record.shop import Shop
make_cheap()
signal.signal(signal.SIGHUP, signal.SIG_DFL)
def hold(*ignored):
    print("holding", flush=True)
    sys.stdin.readline()
    return True
with Shop.open(Path(sys.argv[1])) as shop:
    if sys.argv[2] == "idle":
        hold()
    elif sys.argv[2] == "comparing":
        Verifier.matches = hold
        print(type(check(shop, RIGHT)).__name__)
    else:
        with shop.write() as writing:
            writing.append(JOB, "job issued", BY, NOON, NOON, {})
            hold()
print("done")
"""


@contextmanager
def holder(path: Path, doing: str) -> Iterator[subprocess.Popen[str]]:
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(Path(__file__).parent), *sys.path])}
    child = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path), doing],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=environment,
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "holding\n"
    try:
        yield child
    finally:
        child.kill()
        child.communicate()


def appended(path: Path) -> str:
    """Whether another program can append; one that is kept out is told so after its bounded waits."""
    try:
        with Shop.open(path) as shop:
            append(shop, "300")
    except TravelerError:
        return "absent"
    return "whole"


def ended_by_signal(folder: Path) -> Tally:
    """A line that drops, a shutdown, a kill: in the middle of a write and outside it, the next one can write."""
    tally = Tally("SIGHUP, SIGTERM, SIGKILL to a program that holds the file")
    make_cheap()
    path = folder / "shop"
    founded(path)
    for doing in ("idle", "comparing", "writing"):
        for number in (signal.SIGHUP, signal.SIGTERM, signal.SIGKILL):
            with holder(path, doing) as child:
                child.send_signal(number)
                child.wait(10)
                found = appended(path)
                issued = (
                    plain(path).execute("SELECT count(*) FROM event WHERE kind = 'job issued'").fetchone()
                )
                tally.count(found if found == "whole" and issued == (0,) and verify_shop(path).ok else "lost")
    return tally


def stopped_outside_a_write(folder: Path) -> Tally:
    """Ctrl-Z or a half-open line while somebody reads or types a secret: nobody else waits."""
    tally = Tally("SIGSTOP to a program that reads, or compares a secret")
    make_cheap()
    path = folder / "shop"
    founded(path)
    for doing in ("idle", "comparing") * 3:
        with holder(path, doing) as child:
            child.send_signal(signal.SIGSTOP)
            found = appended(path)
            child.send_signal(signal.SIGCONT)
            output, _ = child.communicate("\n", timeout=20)
            sound = output.endswith("done\n") and verify_shop(path).ok
            tally.count("whole" if found == "whole" and sound else "lost")
    return tally


def stopped_in_a_write(folder: Path) -> Tally:
    """Frozen in the middle of a write: others are told so, bounded in time; woken, it completes."""
    tally = Tally("SIGSTOP to a program in the middle of a write; others are refused")
    path, patience = folder / "shop", connection.BUSY_SECONDS
    founded(path)
    connection.BUSY_SECONDS = 0.1
    for _ in range(5):
        before = verify_shop(path).events
        with holder(path, "writing") as child:
            child.send_signal(signal.SIGSTOP)
            refused = appended(path) == "absent"
            child.send_signal(signal.SIGCONT)
            output, _ = child.communicate("\n", timeout=20)
            found = verify_shop(path)
            sound = output == "done\n" and found.ok and found.events == before + 1
            tally.count("absent" if refused and sound else "lost")
    connection.BUSY_SECONDS = patience
    return tally


def full(folder: Path, fault: str, act: Act, limited: Callable[[Path, int], str], sizes: range) -> Tally:
    """An act with so little room that it fails, a little more, and so on until it succeeds."""
    tally = Tally(f"{fault}: {act.name}")
    for room in sizes:
        make_cheap()
        path = folder / "shop"
        act.prepare(path)
        before = act.state(path)
        answer = limited(path, room)
        state, sound = act.state(path), verify_shop(path).ok
        if answer == "done":
            tally.count("whole" if sound and state != before else "lost")
        else:
            told = any(words in answer for words in ("full", "No space", "disk reports", "too large"))
            tally.count("absent" if sound and state == before and told else "lost")
        path.unlink()
    return tally


def answer_of(act: Act, path: Path) -> str:
    make_cheap()
    try:
        act.do(path)
    except TravelerError as error:
        return str(error)
    return "done"


def file_too_large(folder: Path, act: Act) -> Tally:
    """No file may grow beyond a size (RLIMIT_FSIZE): what a quota does, and no right to mount is needed."""

    def limited(path: Path, room: int) -> str:
        reader, writer = os.pipe()
        child = os.fork()
        if not child:
            largest = room * 512
            resource.setrlimit(resource.RLIMIT_FSIZE, (largest, largest))
            os.write(writer, answer_of(act, path).encode())
            os._exit(0)
        os.close(writer)
        with open(reader) as pipe:
            answer = pipe.read()
        os.waitpid(child, 0)
        assert answer
        return answer

    return full(folder, "files may not grow", act, limited, range(0, 300, 5))


def disk_full(folder: Path, act: Act) -> Tally:
    """A small disk of its own (tmpfs, mounted), filled but for some pages."""
    disk = folder / "disk"
    disk.mkdir()
    subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(disk)], check=True, capture_output=True
    )

    def limited(path: Path, room: int) -> str:
        filler = disk / "filler"
        space = shutil.disk_usage(disk).free - room * 4096
        filler.write_bytes(bytes(max(space, 0)))
        answer = answer_of(act, path)
        filler.unlink()
        for left in set(disk.iterdir()) - {path}:
            left.unlink()
        return answer

    try:
        return full(disk, "disk full", act, limited, range(30))
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def not_ours_to_write(folder: Path) -> Tally:
    """Another account, which may read the file and not write it or its folder: refused in words, nothing changed."""
    tally = Tally("file and folder read-only for this account")
    for act in ACTS:
        path = folder / "shop"
        act.prepare(path)
        before = path.read_bytes()
        folder.chmod(0o755)
        path.chmod(0o644)
        reader, writer = os.pipe()
        child = os.fork()
        if not child:
            os.setgid(65534)
            os.setuid(65534)
            os.write(writer, answer_of(act, path).encode())
            with Shop.open(path, read_only=True) as shop:
                os.write(writer, f" {len(shop.events(JOB))} read".encode())
            os._exit(0)
        os.close(writer)
        with open(reader) as pipe:
            answer = pipe.read()
        os.waitpid(child, 0)
        refused = "cannot be written" in answer and answer.endswith(" 3 read")
        tally.count("absent" if refused and path.read_bytes() == before else "lost")
        path.unlink()
    return tally
