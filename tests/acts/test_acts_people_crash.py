"""Signings that are killed or stopped, and many at once: a signature is whole or absent, and nobody waits for it."""

import os
import signal
import sys
from pathlib import Path

import pytest
from acts_kit import NUMBER, finish, start
from people_kit import CHEAP, INES, WIM, People, secret, shop_with_people

from traveler.acts.change import load_job
from traveler.record import secrets
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="kills and stops by POSIX signals"),
]


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return shop_with_people(tmp_path / "shop.traveler")[0]


# A signing of one of three kinds, killed before its n-th SQL statement, or SQLite's n-th step; each on a fresh copy.
KILLED = """
import itertools, os, shutil, sys
from pathlib import Path
from people_kit import OLGA, WIM, People, make_cheap, secret
from traveler.acts.person_secrets import reset_secret
from traveler.job.person import Person
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

model, kind, where, stride = Path(sys.argv[1]), sys.argv[2], sys.argv[3], int(sys.argv[4])
path = model.with_name("killed.traveler")
make_cheap()

def act(people):
    if kind == "signed":
        people.perform(10)
    elif kind == "refused":
        people.accept(10)  # not yet performed
    else:
        reset_secret(people.shop, people.clock, Person(OLGA), secret(OLGA), WIM, Secret("beam 50x50"), "lost")

def told(people):
    '''What the act leaves: signatures of the job, refusals, secrets set, and by which secret Wim signs now.'''
    kinds = [event["kind"] for event in people.told()]
    verifier = people.shop._connection.execute(
        "SELECT hex(hash) FROM secret WHERE person = 'P2' AND kind = 'signing'"
    ).fetchone()[0]
    counts = (len(people.state.performed), kinds.count("signing refused"), kinds.count("secret set"))
    return counts, verifier

def state(path):
    with Shop.open(path) as shop:
        return told(People(shop))

def dying(deadline):
    passed = itertools.count(1)
    def point(*ignored):
        if next(passed) == deadline:
            os._exit(9)
    with Shop.open(path) as shop:
        if where == "statement":
            shop._connection.set_trace_callback(point)
        else:
            shop._connection.set_progress_handler(point, 1)
        act(People(shop))
    os._exit(0)

(before, old_hash) = state(model)
whole = absent = 0
for deadline in itertools.count(1, stride):
    shutil.copy(model, path)
    child = os.fork()
    if not child:
        dying(deadline)
    survived = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    found = verify_shop(path)
    assert found.ok, (deadline, found.faults)
    after, new_hash = state(path)
    added = [b - a for a, b in zip(before, after)]
    expected = {"signed": [1, 0, 0], "refused": [0, 1, 0], "reset": [0, 0, 1]}[kind]
    assert added in (expected, [0, 0, 0]), (deadline, added)
    # The stored secret and the event that commits to it come together.
    assert (new_hash != old_hash) == (added[2] == 1), deadline
    whole += added == expected
    absent += added != expected
    assert added == expected or not survived, deadline
    if survived:
        break
print(whole, absent)
"""


@pytest.mark.parametrize("kind", ["signed", "refused", "reset"])
@pytest.mark.parametrize(("where", "stride", "points"), [("statement", 1, 15), ("step", 13, 40)])
def test_a_signing_killed_anywhere_is_whole_or_absent(
    path: Path, kind: str, where: str, stride: int, points: int
) -> None:
    whole, absent = map(int, finish(start(KILLED, path, kind, where, stride), 300).split())
    assert whole >= 1
    assert absent >= points


# Stops itself where it was told to, and says so before.
STOPPED = """
import os, signal, sys
from pathlib import Path
from people_kit import People, make_cheap
from traveler.record.secrets import Verifier
from traveler.record.shop import Shop
make_cheap()
original = Verifier.matches
def stopping(verifier, secret):
    print("comparing", flush=True)
    os.kill(os.getpid(), signal.SIGSTOP)
    return original(verifier, secret)
Verifier.matches = stopping
with Shop.open(Path(sys.argv[1])) as shop:
    print(People(shop).perform(10).message, flush=True)
"""


def test_who_is_stopped_while_a_secret_is_compared_holds_nobody(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    child = start(STOPPED, path)
    assert child.stdout is not None
    assert child.stdout.readline() == "comparing\n"
    os.waitpid(child.pid, os.WUNTRACED)
    # With no patience at all: a lock that was held would be said at once.
    monkeypatch.setattr("traveler.record.connection.BUSY_SECONDS", 0.0)
    with Shop.open(path) as shop:
        people = People(shop)
        assert people.record(10, "preheat temperature", "305 F", place="rib").recorded
        assert people.perform(10, by=INES).recorded
    os.kill(child.pid, signal.SIGCONT)
    assert finish(child) == "step 10 signed as performed by Wim Two\n"
    assert verify_shop(path).ok


ACCEPTING = """
import sys
from pathlib import Path
from people_kit import INES, OLGA, People, make_cheap
from traveler.record.shop import Shop
make_cheap()
with Shop.open(Path(sys.argv[1])) as shop:
    people = People(shop)
    for number in range(int(sys.argv[3])):
        content = people.content(10)
        outcome = people.accept(10, by=sys.argv[2], content=content)
        print("accepted" if outcome.recorded else outcome.reasons[0].partition(":")[0], flush=True)
"""


def test_of_many_acceptances_at_once_one_is_written_and_the_others_are_told(path: Path) -> None:
    with Shop.open(path) as shop:
        People(shop).perform(10)
    names = ("Olga Vance", INES) * 2
    children = [start(ACCEPTING, path, name, 20) for name in names]
    answers = [line for child in children for line in finish(child).splitlines()]
    assert len(answers) == 80
    assert answers.count("accepted") == 1
    assert set(answers) == {"accepted", "already accepted"}
    found = verify_shop(path)
    assert found.ok
    with Shop.open(path) as shop:
        people = People(shop)
        assert len(load_job(shop, NUMBER).accepted) == 1
        assert len(people.refused()) == 79


def test_tries_in_many_programs_are_counted_each(path: Path) -> None:
    guess = (
        "import sys\nfrom pathlib import Path\nfrom people_kit import People, make_cheap\n"
        "from traveler.record.shop import Shop\nmake_cheap()\n"
        "with Shop.open(Path(sys.argv[1])) as shop:\n"
        "    print(People(shop).perform(10, given='not his 123').reasons[0].split(' for')[0])\n"
    )
    children = [start(guess, path) for _ in range(8)]
    answers = sorted(finish(child).strip() for child in children)
    assert answers == ["too many wrong secrets"] * 3 + ["wrong secret"] * 5
    with Shop.open(path) as shop:
        people = People(shop)
        assert people.perform(10).reasons[0].startswith("too many wrong secrets for Wim Two")
        assert people.perform(10, by=INES).recorded
        assert [entry["person"] for entry in people.refused()] == ["P2"] * 9
    assert secret(WIM).reveal() not in path.read_bytes().decode("latin-1")
