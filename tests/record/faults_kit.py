"""Programs killed on purpose in the middle of an act on a shop's file, with a count of what became of the act.

``python tests/record/faults_table.py`` prints the counts as the table of ``docs/record.md``; the tests hold them to
"lost: none". It forks, so a test runs it in a process of its own.
"""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from record_kit import BY, NOON, append, fill
from secret_kit import RIGHT, WRONG, check, make_cheap, set_secret

from traveler.record import schema, secrets
from traveler.record.backup import backup
from traveler.record.secrets import Scheme, Secret, Verifier
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

State = Callable[[Path], object]


@dataclass
class Tally:
    """``whole``: the work was there afterwards; ``absent``: nothing of it; ``lost``: half, or a promise broken."""

    fault: str
    tried: int = 0
    whole: int = 0
    absent: int = 0
    lost: int = 0

    def count(self, found: str) -> None:
        self.tried += 1
        setattr(self, found, getattr(self, found) + 1)


@dataclass(frozen=True)
class Act:
    """``do`` is killed somewhere; ``state`` reads what it changes: as before it or as after it, nothing between."""

    name: str
    prepare: Callable[[Path], None]
    do: Callable[[Path], None]
    state: State


def founded(path: Path) -> None:
    with Shop.create(path) as shop:
        fill(shop, 3)
        set_secret(shop)


def of_the_first_schema(path: Path) -> None:
    """As the program made a file whose newest schema was the first."""
    steps, tables = schema.STEPS, schema.SCHEMA
    schema.STEPS, schema.SCHEMA = steps[:1], schema.FIRST_TABLES
    try:
        with Shop.create(path) as shop:
            fill(shop, 3)
    finally:
        schema.STEPS, schema.SCHEMA = steps, tables


def opened(act: Callable[[Shop], object]) -> Callable[[Path], None]:
    def do(path: Path) -> None:
        with Shop.open(path) as shop:
            act(shop)

    return do


def renew(shop: Shop) -> None:
    secrets.USUAL = Scheme(5, 8, 1)
    check(shop, RIGHT)


def saved(shop: Shop) -> None:
    backup(shop, shop.path.with_name(f"{shop.path.name}.{os.urandom(4).hex()}.saved"), BY, NOON)


def asked(question: str) -> State:
    def state(path: Path) -> object:
        with closing(sqlite3.connect(path)) as connection:
            return connection.execute(question).fetchall()

    return state


EVENTS = asked("SELECT count(*) FROM event")
FAILURES = asked("SELECT failures FROM secret")

ACTS = (
    Act("an event", founded, opened(lambda shop: append(shop, "300")), EVENTS),
    Act(
        "a secret set, with its event",
        founded,
        opened(lambda shop: set_secret(shop, "P2", "another one 5")),
        asked("SELECT (SELECT count(*) FROM event), count(*) FROM secret"),
    ),
    Act("a wrong try counted", founded, opened(lambda shop: check(shop, WRONG)), FAILURES),
    Act(
        "a hash renewed, with its event",
        founded,
        opened(renew),
        asked("SELECT (SELECT count(*) FROM event), scheme FROM secret"),
    ),
    Act("a backup, noted", founded, opened(saved), EVENTS),
    Act(
        "an upgrade from the first schema",
        of_the_first_schema,
        lambda path: Shop.open(path).close(),
        asked("SELECT count(*), (SELECT count(*) FROM sqlite_schema) FROM schema_step"),
    ),
)

Kill = Callable[[Act, Path, int], bool]


def killed_everywhere(folder: Path, act: Act, kills: Sequence[Kill], fault: str, stride: int = 1) -> Tally:
    """Kill an act at its first, second ... point until it survives; in each way of ``kills`` one after the other.

    Each time the file verifies and is as before the act or as after it; and the act can then be done, whatever the
    killed program has left lying about.
    """
    make_cheap()
    tally = Tally(f"{fault}: {act.name}")
    model, done = folder / "model", folder / "done"
    act.prepare(model)
    shutil.copy(model, done)
    act.do(done)
    make_cheap()
    before, after = act.state(model), act.state(done)
    assert before != after
    for kill in kills:
        deadline, survived = 1, False
        while not survived:
            path = folder / f"killed {deadline}"
            shutil.copy(model, path)
            survived = kill(act, path, deadline)
            tally.count(outcome(act, path, before, after, survived=survived))
            for left in folder.glob(f"*killed {deadline}*"):
                left.unlink()
            deadline += stride
    return tally


def outcome(act: Act, path: Path, before: object, after: object, *, survived: bool) -> str:
    sound = verify_shop(path).ok and all(
        verify_shop(copy).ok for copy in path.parent.glob(f"{path.name}*.saved")
    )
    state = act.state(path)
    if not sound or state not in (before, after) or (survived and state != after):
        return "lost"
    if state == after:
        return "whole"
    act.do(path)
    make_cheap()
    return "absent" if act.state(path) == after and verify_shop(path).ok else "lost"


def at_statement(act: Act, path: Path, deadline: int) -> bool:
    """Killed before the n-th SQL statement of the connections that the act opens, those of triggers among them."""
    return forked(act.do, path, deadline, lambda connection, point: connection.set_trace_callback(point))


def at_step(act: Act, path: Path, deadline: int) -> bool:
    """Killed before the n-th step of SQLite's own machine: inside statements."""
    return forked(act.do, path, deadline, lambda connection, point: connection.set_progress_handler(point, 1))


Watch = Callable[[sqlite3.Connection, Callable[..., object]], object]


def forked(do: Callable[[Path], None], path: Path, deadline: int, watch: Watch) -> bool:
    """Whether ``do`` survived in a child that kills itself at the n-th point."""
    child = os.fork()
    if not child:
        passed = 0

        def point(*ignored: object) -> None:
            nonlocal passed
            passed += 1
            if passed == deadline:
                os.kill(os.getpid(), signal.SIGKILL)

        original = sqlite3.connect

        def connecting(*arguments: object, **options: object) -> sqlite3.Connection:
            connection = original(*arguments, **options)
            watch(connection, point)
            return connection

        sqlite3.connect = connecting
        do(path)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(status) in (0, -signal.SIGKILL)
    return os.waitstatus_to_exitcode(status) == 0


CALLS = ("pwrite64", "write", "fdatasync", "fsync", "unlink", "link", "rename")


def at_call(act: Act, path: Path, deadline: int, call: str) -> bool:
    """Killed by a tracer at the n-th call of a kind that changes the disk: inside COMMIT, between its syncs."""
    script = f"import sys, faults_kit; faults_kit.alone({act.name!r}, sys.argv[1])"
    tracer = ["strace", "-f", "-qq", "-o", os.devnull, "-e", f"trace={call}"]
    tracer += ["-e", f"inject={call}:signal=KILL:when={deadline}"]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(Path(__file__).parent), *sys.path])}
    ended = subprocess.run(
        [*tracer, sys.executable, "-B", "-c", script, str(path)],
        env=environment,
        capture_output=True,
        check=False,
    )
    assert ended.returncode in (0, 128 + signal.SIGKILL, -signal.SIGKILL), ended.stderr
    return ended.returncode == 0


def alone(name: str, path: str) -> None:
    """The act of that name, in a process of its own."""
    make_cheap()
    next(act for act in ACTS if act.name == name).do(Path(path))


def tries_won(folder: Path) -> Tally:
    """A wrong try killed at every third step: where the comparison had begun, the try has been counted."""
    make_cheap()
    tally = Tally("kill -9 while a secret is compared, to win an uncounted try")
    model, path = folder / "model", folder / "killed"
    founded(model)
    original, deadline, survived = Verifier.matches, 3, False
    while not survived:
        shutil.copy(model, path)
        reader, writer = os.pipe()

        def compared(verifier: Verifier, secret: Secret, told: int = writer) -> bool:
            os.write(told, b"begun")
            return original(verifier, secret)

        Verifier.matches = compared
        survived = forked(
            opened(lambda shop: check(shop, WRONG)),
            path,
            deadline,
            lambda connection, point: connection.set_progress_handler(point, 1),
        )
        Verifier.matches = original
        os.close(writer)
        with open(reader, "rb") as pipe:
            begun = bool(pipe.read())
        counted = FAILURES(path) == [(1,)]
        tally.count("lost" if begun and not counted else "whole" if counted else "absent")
        path.unlink()
        deadline += 3
    return tally
