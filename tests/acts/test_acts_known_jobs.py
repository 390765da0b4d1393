"""A session folds only what was added to a job: never on a file that has become another, nor on altered events."""

import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from acts_kit import ADA, NUMBER, STREAM, Bench, HandClock, sheet

from traveler.acts.change import load_job
from traveler.acts.issue import issue
from traveler.acts.known_jobs import MOST_JOBS, known_jobs
from traveler.acts.look import look
from traveler.acts.verify import verify
from traveler.errors import TravelerError
from traveler.job import fold as folding
from traveler.job.state import JobState
from traveler.record.chain import genesis, journal_genesis, next_hash, next_journal
from traveler.record.shop import Shop


@pytest.fixture
def other(bench: Bench) -> Iterator[Bench]:
    """Another program on the same file."""
    with Shop.open(bench.shop.path) as shop:
        yield Bench(shop, HandClock(), NUMBER)


def afresh(path: Path) -> JobState:
    """The state as a program finds it that has just begun."""
    with Shop.open(path) as shop:
        return load_job(shop, NUMBER)


@contextmanager
def without_triggers(path: Path) -> Iterator[sqlite3.Connection]:
    """The file in the hands of somebody who can write it, and leaves it with all its triggers."""
    with closing(sqlite3.connect(path)) as connection, connection:
        triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in triggers:
            connection.execute(f"DROP TRIGGER {name}")
        yield connection
        for _, text in triggers:
            connection.execute(text)


def record(bench: Bench, value: str = "330 F") -> None:
    bench.record(10, "preheat temperature", value, place="rim")


def test_what_another_program_wrote_in_between_counts(bench: Bench, other: Bench) -> None:
    for value in ("310 F", "320 F", "330 F"):
        record(bench, value)
        record(other, value)
        assert load_job(bench.shop, NUMBER) == load_job(other.shop, NUMBER) == afresh(bench.shop.path)
    assert [reading.number for reading in load_job(bench.shop, NUMBER).readings] == list(range(1, 7))
    assert verify(bench.shop.path).faults == ()


def test_a_signature_stands_on_what_another_program_wrote(bench: Bench, other: Bench) -> None:
    bench.preheated()
    record(other, "120 F")
    bench.perform(10)
    refused = bench.accept(10)
    assert not refused.recorded
    assert "120 °F" in " ".join(refused.reasons)


def test_only_what_was_added_is_folded(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.preheated()
    folded = []
    apply = folding._apply
    monkeypatch.setattr(folding, "_apply", lambda state, event: folded.append(event) or apply(state, event))
    record(bench)
    assert [event["seq"] for event in folded] == [4]
    look(bench.shop, bench.clock, NUMBER)
    assert len(folded) == 1


def test_a_write_that_was_rolled_back_leaves_nothing_behind(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.preheated()
    before = load_job(bench.shop, NUMBER)

    def full(connection: sqlite3.Connection, statement: str) -> None:
        if statement == "COMMIT":
            raise sqlite3.OperationalError("the disk is full")
        connection.execute(statement)

    with monkeypatch.context() as patched:
        patched.setattr("traveler.record.shop.patiently", full)
        with pytest.raises(TravelerError, match="nothing was written"):
            record(bench)
    assert load_job(bench.shop, NUMBER) == before == afresh(bench.shop.path)
    record(bench)
    assert load_job(bench.shop, NUMBER) == afresh(bench.shop.path)
    assert verify(bench.shop.path).faults == ()


def test_an_older_copy_put_into_the_open_file_is_what_counts(bench: Bench, tmp_path: Path) -> None:
    record(bench, "310 F")
    older = tmp_path / "older"
    shutil.copy(bench.shop.path, older)
    bench.preheated()
    with closing(sqlite3.connect(older)) as source, closing(sqlite3.connect(bench.shop.path)) as target:
        source.backup(target)
    assert load_job(bench.shop, NUMBER).events == 2
    record(bench, "340 F")
    assert load_job(bench.shop, NUMBER) == afresh(bench.shop.path)
    assert [reading.typed for reading in load_job(bench.shop, NUMBER).readings] == ["310 F", "340 F"]


def test_an_older_copy_that_was_carried_on_as_far_is_what_counts(bench: Bench, tmp_path: Path) -> None:
    record(bench, "310 F")
    older = tmp_path / "older"
    shutil.copy(bench.shop.path, older)
    record(bench, "320 F")
    with Shop.open(older, watched=False) as shop:
        record(Bench(shop, HandClock(), NUMBER), "120 F")
    with closing(sqlite3.connect(older)) as source, closing(sqlite3.connect(bench.shop.path)) as target:
        source.backup(target)
    record(bench, "330 F")
    typed = [reading.typed for reading in load_job(bench.shop, NUMBER).readings]
    assert typed == ["310 F", "120 F", "330 F"]


def test_a_file_in_place_of_the_open_one_is_not_written(bench: Bench, tmp_path: Path) -> None:
    record(bench)
    copy = tmp_path / "copy"
    shutil.copy(bench.shop.path, copy)
    copy.replace(bench.shop.path)
    with pytest.raises(TravelerError, match="replaced by another file"):
        record(bench)


def another_text(connection: sqlite3.Connection) -> None:
    connection.execute(
        "UPDATE event SET body = replace(body, '320 F', '390 F') WHERE seq = 2 AND stream = ?", [STREAM]
    )


def another_link(connection: sqlite3.Connection) -> None:
    connection.execute("UPDATE event SET hash = randomblob(32) WHERE seq = 2 AND stream = ?", [STREAM])


def taken_out(connection: sqlite3.Connection) -> None:
    connection.execute("DELETE FROM event WHERE seq = 2 AND stream = ?", [STREAM])


def exchanged(connection: sqlite3.Connection) -> None:
    first, second = (
        connection.execute("SELECT body FROM event WHERE seq = ? AND stream = ?", [seq, STREAM]).fetchone()[0]
        for seq in (2, 3)
    )
    for body, seq in ((second, 2), (first, 3)):
        connection.execute("UPDATE event SET body = ? WHERE seq = ? AND stream = ?", [body, seq, STREAM])


def newest(connection: sqlite3.Connection) -> None:
    connection.execute(
        "UPDATE event SET body = replace(body, '330 F', '390 F') WHERE seq = 4 AND stream = ?", [STREAM]
    )


TAKING: dict[str, Callable[[Bench], object]] = {
    "show": lambda bench: look(bench.shop, bench.clock, NUMBER),
    "record": lambda bench: record(bench, "340 F"),
    "sign": lambda bench: bench.perform(10),
}


@pytest.mark.parametrize("act", TAKING)
@pytest.mark.parametrize("forge", [another_text, another_link, taken_out, exchanged, newest])
def test_an_event_altered_while_the_job_was_known_is_noticed(
    bench: Bench, forge: Callable[[sqlite3.Connection], None], act: str
) -> None:
    bench.preheated()
    record(bench)
    with without_triggers(bench.shop.path) as connection:
        forge(connection)
    with closing(sqlite3.connect(bench.shop.path)) as connection:
        events = connection.execute("SELECT count(*) FROM event").fetchone()
    for _ in range(2):  # and it is not forgotten
        with pytest.raises(TravelerError, match=rf"of {STREAM} was altered"):
            TAKING[act](bench)
    with closing(sqlite3.connect(bench.shop.path)) as connection:
        assert connection.execute("SELECT count(*) FROM event").fetchone() == events


def test_links_that_were_all_computed_anew_make_another_job_of_it(bench: Bench) -> None:
    """Sound in itself, so nothing but a code noted before shows it; and then nothing of the job as it was is used."""
    bench.preheated()
    record(bench)
    with without_triggers(bench.shop.path) as connection:
        another_text(connection)
        heads, journal = {}, journal_genesis(bench.shop.shop_id)
        for position, stream, body in connection.execute(
            "SELECT position, stream, body FROM event ORDER BY position"
        ).fetchall():
            heads[stream] = next_hash(heads.get(stream, genesis(bench.shop.shop_id, stream)), body)
            journal = next_journal(journal, heads[stream])
            connection.execute(
                "UPDATE event SET hash = ?, journal_hash = ? WHERE position = ?",
                [heads[stream], journal, position],
            )
    record(bench, "340 F")
    typed = [reading.typed for reading in load_job(bench.shop, NUMBER).readings]
    assert typed == ["390 F", "310 F", "330 F", "340 F"]
    assert load_job(bench.shop, NUMBER) == afresh(bench.shop.path)


def test_few_jobs_are_kept(bench: Bench) -> None:
    numbers = [NUMBER, *(f"A-{200 + count}" for count in range(MOST_JOBS))]
    for number in numbers[1:]:
        issue(bench.shop, bench.clock, ADA, sheet().replace(NUMBER.encode(), number.encode()))
    for number in numbers:
        load_job(bench.shop, number)
    assert [number in known_jobs(bench.shop) for number in numbers] == [False] + [True] * MOST_JOBS
