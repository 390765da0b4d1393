"""Many writers, and writers that die: nothing acknowledged is lost, nothing is there by half."""

import os
import random
import signal
import sys
import time
from pathlib import Path

import pytest
from record_kit import JOB, append, finish, run, start

from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="kills and stops by POSIX signals"),
]

# Appends without end (or a given number of times) and says so after each COMMIT.
BENCH = """
import itertools, sys
from pathlib import Path
from record_kit import append
from traveler.record.shop import Shop
path, stream, limit = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
with Shop.open(path) as shop:
    for number in itertools.islice(itertools.count(), limit or None):
        event = append(shop, f"{stream} {number}", stream)
        print(event.seq, event.hash.hex(), flush=True)
"""


@pytest.mark.parametrize(("benches", "jobs"), [(2, 1), (4, 1), (4, 4)])
def test_benches_that_write_at_once_lose_nothing(shop: Shop, benches: int, jobs: int) -> None:
    each = 200
    children = [start(BENCH, shop.path, f"job H-{number % jobs}", each) for number in range(benches)]
    acknowledged = [line.split() for child in children for line in finish(child).splitlines()]
    assert len(acknowledged) == benches * each
    found = verify_shop(shop.path)
    assert found.faults == ()
    assert found.events == benches * each + 1
    stored = {event.hash.hex() for number in range(jobs) for event in shop.events(f"job H-{number}")}
    assert {link for _, link in acknowledged} == stored


def test_what_a_killed_bench_acknowledged_is_there(shop: Shop) -> None:
    chance = random.Random(4130)
    acknowledged: list[str] = []
    for _ in range(12):
        child = start(BENCH, shop.path, JOB, 0)
        assert child.stdout is not None
        acknowledged += [child.stdout.readline().split()[1] for _ in range(chance.randint(1, 40))]
        time.sleep(chance.uniform(0, 0.004))
        os.kill(child.pid, signal.SIGKILL)
        # What was printed before the kill was acknowledged too, read or not; a last line may be cut short.
        # Not communicate(): it would pass over what readline has taken in already.
        output = child.stdout.read()
        _, errors = child.communicate()
        assert child.returncode == -signal.SIGKILL, errors
        acknowledged += [line.split()[1] for line in output.splitlines(keepends=True) if line.endswith("\n")]
        assert verify_shop(shop.path).faults == ()
    stored = [event.hash.hex() for event in shop.events(JOB)]
    # In the order of the answers; a kill between COMMIT and the answer may leave one more each time.
    assert [link for link in stored if link in set(acknowledged)] == acknowledged
    assert len(acknowledged) <= len(stored) <= len(acknowledged) + 12


# One act of several rows, an attachment larger than SQLite's cache among them, killed at the n-th point.
KILLED_ACT = """
import itertools, os, sys
from pathlib import Path
from record_kit import BY, JOB, NOON
from traveler.record.rows import BoardRow
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

path, where, stride = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])

def act(shop, name):
    with shop.write() as writing:
        digest, size = writing.put_attachment(name.encode() * (300_000 if stride == 1 else 10))
        writing.append(JOB, "file attached", BY, NOON, NOON, {"sha256": digest, "size": size})
        writing.append("shop", "file attached", BY, NOON, NOON, {})
        writing.put_board_row(BoardRow("H-014", name, "in process", "40 preheat", "", NOON))

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
        act(shop, f"attempt {deadline}")
    os._exit(0)

done = 0
for deadline in itertools.count(1, stride):
    child = os.fork()
    if not child:
        dying(deadline)
    _, status = os.waitpid(child, 0)
    survived = os.waitstatus_to_exitcode(status) == 0
    found = verify_shop(path)
    assert found.ok, (deadline, found.faults)
    with Shop.open(path) as shop:
        whole = [row.title for row in shop.board()] == [f"attempt {deadline}"]
        done += whole
        # Dead between COMMIT and its answer, the act may be whole; alive, it must be.
        assert whole or not survived, deadline
        assert found.events == 1 + 2 * done, (deadline, found.events, done)
        assert len(shop.events(JOB)) == done
    if survived:
        break
print(deadline)
"""


@pytest.mark.parametrize(("where", "stride", "at_least"), [("statement", 1, 10), ("step", 5, 100)])
def test_an_act_killed_anywhere_is_whole_or_absent(
    tmp_path: Path, where: str, stride: int, at_least: int
) -> None:
    path = tmp_path / "shop.traveler"
    Shop.create(path).close()
    assert int(run(KILLED_ACT, path, where, stride)) >= at_least


def test_a_bench_that_dies_in_its_write_does_not_hold_the_others(shop: Shop) -> None:
    script = (
        "import signal, sys, time\nsignal.signal(signal.SIGHUP, signal.SIG_DFL)\n"
        "from pathlib import Path\nfrom record_kit import BY, JOB, NOON\n"
        "from traveler.record.shop import Shop\n"
        "with Shop.open(Path(sys.argv[1])) as shop, shop.write() as writing:\n"
        "    writing.append(JOB, 'job issued', BY, NOON, NOON, {})\n"
        "    print('writing', flush=True)\n    time.sleep(60)\n"
    )
    child = start(script, shop.path)
    assert child.stdout is not None
    assert child.stdout.readline() == "writing\n"
    child.send_signal(signal.SIGHUP)
    child.communicate()
    assert append(shop, "300").seq == 1
    assert verify_shop(shop.path).ok
