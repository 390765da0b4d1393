"""A file is verified job by job while others write: nobody is held up, and neither is a fault told that is none."""

import gc
import json
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from acts_kit import ADA, NUMBER, Bench, issued_copy
from batch_kit import ASSEMBLY_ROUTE, Batch, batch_sheet

from traveler.acts.board_check import BoardCheck
from traveler.acts.issue import issue
from traveler.acts.verify import verify
from traveler.errors import TravelerError
from traveler.job.board import as_recorded
from traveler.job.fold import fold
from traveler.job.state import JobState
from traveler.record import network
from traveler.record.chain import canonical, code, genesis, next_hash
from traveler.record.rows import BoardRow
from traveler.record.schema import SCHEMA
from traveler.record.shop import Shop
from traveler.record.verify import Jobs, verify_shop

OTHERS = ("A-102", "A-103")
CHILD = "A-101B"


class Interrupted:
    """Works the jobs out as ``verify`` has it, and does something before each of them."""

    def __init__(self, before: Callable[[str], object]) -> None:
        self.seen: list[str] = []
        self._before = before
        self._check = BoardCheck()

    def job_faults(
        self, stream: str, events: Iterable[Mapping[str, Any]], line: BoardRow | None
    ) -> Iterator[str]:
        self.seen.append(stream)
        self._before(stream)
        return self._check.job_faults(stream, events, line)

    def faults_between(self, jobs: Jobs) -> Iterator[str]:
        return self._check.faults_between(jobs)


@pytest.fixture
def batch(tmp_path: Path) -> Iterator[Batch]:
    """Five pieces, and two jobs of one piece behind them."""
    for bench in issued_copy(tmp_path / "shop.traveler", batch_sheet(5)):
        found = Batch(bench)
        for number in OTHERS:
            found.issue(number, route=ASSEMBLY_ROUTE)
        yield found


def faults_while(path: Path, before: Callable[[str], object]) -> tuple[tuple[str, ...], list[str]]:
    """What ``verify`` finds while something is done before each job, and the jobs it came to."""
    interrupted = Interrupted(before)
    return verify_shop(path, derived=interrupted).faults, interrupted.seen


def behind_our_back(path: Path, alter: Callable[[sqlite3.Connection], object]) -> None:
    triggers = [text for text in SCHEMA if text.startswith("CREATE TRIGGER")]
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        for text in triggers:
            connection.execute(f"DROP TRIGGER {text.split()[2]}")
        alter(connection)
        for text in triggers:
            connection.execute(text)


def said(batch: Batch, number: str, kind: str, **act: Any) -> None:
    """An event that the record layer takes and no act would write, with the job's line as it says."""
    shop = batch.bench.shop
    last = shop.events(f"job {number}")[-1].data
    with shop.write() as writing:
        writing.append(f"job {number}", kind, last["by"], last["happened_at"], last["recorded_at"], act)
        found = writing.events(f"job {number}")
        writing.put_board_row(as_recorded(fold(event.data for event in found)))


def test_who_writes_between_two_jobs_does_not_wait_and_is_no_fault(batch: Batch) -> None:
    """Without any patience: a verify that held the file would have the writer refused."""
    with Shop.open(batch.bench.shop.path, watched=False) as other:
        other.wait_at_most(0)

        def write(stream: str) -> None:
            for number in (NUMBER, *OTHERS):
                written = Bench(other, batch.bench.clock, number)
                assert written.record(10, "preheat temperature", "320 F", place="web").recorded
            new = f"B-{stream[-3:]}"
            assert issue(other, batch.bench.clock, ADA, batch_sheet(1, number=new)).recorded

        faults, seen = faults_while(batch.bench.shop.path, write)
    assert faults == ()
    assert seen == [f"job {number}" for number in (NUMBER, *OTHERS)]
    assert verify(batch.bench.shop.path).faults == ()


@pytest.fixture
def one_by_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Small jobs are read several at a time: with this each is read by itself, as large ones are."""
    monkeypatch.setattr("traveler.record.reading_jobs.PAGE", 1)


@pytest.mark.usefixtures("one_by_one")
def test_pieces_that_were_joined_while_jobs_were_read_are_no_fault(batch: Batch) -> None:
    """The job that they are of is worked out before, the one that has them afterwards."""
    batch.closed(NUMBER, 5)

    def join(stream: str) -> None:
        if stream == f"job {OTHERS[0]}":
            assert batch.join(OTHERS[1], NUMBER, 2).recorded

    assert faults_while(batch.bench.shop.path, join)[0] == ()
    assert verify(batch.bench.shop.path).faults == ()


@pytest.mark.usefixtures("one_by_one")
def test_a_job_that_began_by_a_split_while_jobs_were_read_is_no_fault(batch: Batch) -> None:
    """The job that it came from says so; the new one is none of those that are looked at."""
    batch.issue("A-104", 4)

    def split(stream: str) -> None:
        if stream == f"job {NUMBER}":
            assert batch.split(CHILD, 2, job="A-104").recorded

    faults, seen = faults_while(batch.bench.shop.path, split)
    assert faults == ()
    assert seen[-1] == "job A-104"
    assert verify(batch.bench.shop.path).faults == ()


@pytest.mark.parametrize(
    ("number", "kind", "act", "fault"),
    [
        (
            NUMBER,
            "pieces split off",
            {"way": "split off", "pieces": 1, "serials": [], "because": "x", "job": OTHERS[0]},
            "job A-101 says that pieces went to A-102, which does not say that it has them",
        ),
        (
            NUMBER,
            "pieces used",
            {"job": OTHERS[0], "step": 50, "pieces": 1, "serials": []},
            "job A-101 says that 1 piece joined in A-102, which says otherwise",
        ),
        (
            NUMBER,
            "pieces used",
            {"job": "A-999", "step": 50, "pieces": 1, "serials": []},
            "job A-101 says that 1 piece joined in A-999, which says otherwise",
        ),
    ],
)
def test_what_one_job_says_and_the_other_does_not_is_found(
    batch: Batch, number: str, kind: str, act: dict[str, Any], fault: str
) -> None:
    said(batch, number, kind, **act)
    assert verify(batch.bench.shop.path).faults == (fault,)
    busy = batch.at(OTHERS[0])
    assert faults_while(
        batch.bench.shop.path, lambda stream: busy.record(10, "preheat temperature", "320 F", place="web")
    )[0] == (fault,)


def test_a_history_that_is_not_that_of_the_other_job_is_found(batch: Batch) -> None:
    """It fits in itself, code and all, and the other job has another one."""
    batch.bench.through_preheat()
    assert batch.split(CHILD, 2).recorded
    shop = batch.bench.shop
    first = shop.events(f"job {CHILD}")[0].data
    text = json.dumps(first["act"]).replace(CHILD, "A-101Z").replace("320", "330")
    act = json.loads(text)
    link = genesis(shop.shop_id, f"job {NUMBER}")
    for event in act["split_from"]["history"]:
        link = next_hash(link, canonical(event))
    act["split_from"]["code"] = code(link)
    with shop.write() as writing:
        writing.append(
            "job A-101Z", first["kind"], first["by"], first["happened_at"], first["recorded_at"], act
        )
        writing.put_board_row(as_recorded(fold(event.data for event in writing.events("job A-101Z"))))
    assert verify(shop.path).faults == (
        "job A-101Z, event 1: the history that it brings along is not that of job A-101",
        "job A-101Z says that it was split off from A-101, which does not say so",
    )


@pytest.mark.usefixtures("one_by_one")
@pytest.mark.parametrize("linked", [False, True], ids=["the text alone", "with its link"])
def test_an_event_altered_between_the_pass_and_the_job_is_not_taken_for_true(
    batch: Batch, linked: bool
) -> None:
    """The pass saw it sound; it is another when its job is read."""
    path = batch.bench.shop.path
    batch.at(OTHERS[0]).record(10, "preheat temperature", "320 F", place="web")
    batch.at(OTHERS[0]).record(10, "preheat temperature", "310 F", place="flange")
    stream = f"job {OTHERS[0]}"

    def alter(connection: sqlite3.Connection) -> None:
        before, last = batch.bench.shop.events(stream)[-2:]
        body = last.body.replace('"310"', '"410"')
        link = next_hash(before.hash, body) if linked else last.hash
        connection.execute(
            "UPDATE event SET body = ?, hash = ? WHERE stream = ? AND seq = ?", (body, link, stream, last.seq)
        )

    def at_first(reached: str) -> None:
        if reached == f"job {NUMBER}":
            behind_our_back(path, alter)

    (found,) = faults_while(path, at_first)[0]
    assert found == (
        f"structure: event 3 of {stream}: read with its job it is not the one that stands there in the order of writing"
    )


@pytest.mark.usefixtures("one_by_one")
def test_a_line_altered_while_jobs_are_read_is_found(batch: Batch) -> None:
    path = batch.bench.shop.path

    def alter(stream: str) -> None:
        if stream == f"job {NUMBER}":
            with closing(sqlite3.connect(path, isolation_level=None)) as other:
                other.execute("UPDATE board SET title = 'another' WHERE number = ?", (OTHERS[1],))

    (found,) = faults_while(path, alter)[0]
    assert found.startswith('the board shows job A-103 with title "another"')


def test_a_text_in_another_form_is_found_before_what_follows_from_it(batch: Batch) -> None:
    """Its links were computed anew, so only its text shows it; what the noted code covers is altered then, too."""
    path = batch.bench.shop.path
    last = batch.bench.shop.events(f"job {OTHERS[1]}")[-1]

    def alter(connection: sqlite3.Connection) -> None:
        connection.execute("UPDATE event SET kind = 'x' WHERE stream = ? AND seq = 1", (last.stream,))
        connection.execute("UPDATE board SET title = 'another'")

    behind_our_back(path, alter)
    found = verify(path, code(last.hash))
    assert found.faults == (f"event 1 of {last.stream}: the column kind differs from the text",)
    assert "does not all fit" in " ".join(found.against)


def test_events_are_looked_at_whatever_became_of_the_board(batch: Batch) -> None:
    path = batch.bench.shop.path
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("DROP TABLE board")
    said_of_it = ("schema: table board is missing", "the file is damaged: no such table: board")
    assert set(said_of_it) <= set(verify(path).faults)
    behind_our_back(path, lambda other: other.execute("UPDATE event SET id = 'x' WHERE stream = 'job A-103'"))
    assert verify(path).faults[0] == "event 1 of job A-103: the column id differs from the text"


def states_at_once(path: Path) -> int:
    """The most states of jobs that there were while a file was verified, asked each time before the next job."""
    most = 0

    def count(stream: str) -> None:
        nonlocal most
        most = max(most, sum(isinstance(thing, JobState) for thing in gc.get_objects()))

    assert faults_while(path, count)[0] == ()
    return most


def test_one_job_is_kept_at_a_time(batch: Batch) -> None:
    gc.collect()
    few = states_at_once(batch.bench.shop.path)
    for number in range(20):
        batch.issue(f"B-{number}")
    gc.collect()
    assert states_at_once(batch.bench.shop.path) <= few + 1


def test_a_file_on_a_network_file_system_is_refused_as_it_is_for_opening(
    batch: Batch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = batch.bench.shop.path
    table = tmp_path / "mountinfo"
    table.write_text("22 1 254:0 / / rw - cifs //bench/shop rw\n")
    monkeypatch.setattr(network, "MOUNT_TABLE", table)
    with pytest.raises(TravelerError) as opening:
        Shop.open(path)
    for chain_only in (False, True):
        with pytest.raises(TravelerError) as verifying:
            verify(path, chain_only=chain_only)
        assert str(verifying.value) == str(opening.value)
    assert "network file system (cifs)" in str(opening.value)
