"""A record held against a code noted earlier, or another copy: attacks that leave a file sound in itself are found."""

import hashlib
import json
import os
import re
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from acts_kit import NUMBER, STREAM, Bench

from traveler.acts.look import export
from traveler.acts.verify import Checked, verify
from traveler.errors import BadInput, TravelerError
from traveler.record.board_rebuild import fill
from traveler.record.chain import canonical
from traveler.record.shop import Shop

Attack = Callable[[Path], None]


def printed(bench: Bench) -> str:
    """The line of the record as it stands on the paper."""
    text = export(bench.shop, bench.number, "text").decode()
    found = re.search(r"^Record: .*$", text, re.MULTILINE)
    assert found
    return found[0]


def journal(bench: Bench) -> str:
    checked = verify(bench.shop.path)
    return f"{checked.code}, {checked.events} events"


def sentence(checked: Checked) -> str:
    assert checked.against
    return checked.against[0]


def test_every_code_that_was_ever_printed_is_found(bench: Bench, tmp_path: Path) -> None:
    lines, journals = [], []
    for number in range(4):
        bench.record(10, "preheat temperature", f"{300 + number} F", place="web")
        lines.append(printed(bench))
        journals.append(journal(bench))
    path = tmp_path / "job.json"
    path.write_bytes(export(bench.shop, bench.number, "json"))
    for count, line in enumerate(lines, start=2):
        for record in (bench.shop.path, path):
            checked = verify(record, line)
            assert checked.fits
            assert checked.faults == ()
            stands = f"is that of event {count} of {STREAM}"
            assert stands in sentence(checked)
            further = 5 - count
            plural = "" if further == 1 else "s"
            expected = (
                f"{STREAM} is {further} event{plural} further" if further else "nothing was added since"
            )
            assert expected in sentence(checked)
            assert verify(record, line, chain_only=True).against == checked.against
    for count, noted in enumerate(journals, start=3):
        checked = verify(bench.shop.path, noted)
        assert checked.fits
        assert f"is that of event {count} of the journal" in sentence(checked)
    assert "the file is 3 events further, and unaltered up to there" in sentence(
        verify(bench.shop.path, journals[0])
    )


def triggers_away(path: Path) -> tuple[sqlite3.Connection, list[str]]:
    connection = sqlite3.connect(path, isolation_level=None)
    triggers = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in triggers:
        connection.execute(f'DROP TRIGGER "{name}"')
    return connection, [text for _, text in triggers]


def recomputed(path: Path) -> None:
    """301 F becomes 391 F, and every link of the file is computed anew, as the documentation shows anybody how."""
    connection, triggers = triggers_away(path)
    (shop_id,) = connection.execute("SELECT id FROM shop").fetchone()
    heads: dict[str, bytes] = {}
    link = hashlib.sha256(f"{shop_id}journal".encode()).digest()
    for position, stream, body in connection.execute("SELECT position, stream, body FROM event").fetchall():
        data = json.loads(body)
        if data["act"].get("value") == "301":
            data["act"] |= {"value": "391", "typed": "391 F"}
        text = canonical(data)
        before = heads.get(stream) or hashlib.sha256(f"{shop_id}{stream}".encode()).digest()
        heads[stream] = hashlib.sha256(before + text.encode()).digest()
        link = hashlib.sha256(link + heads[stream]).digest()
        connection.execute(
            "UPDATE event SET body = ?, hash = ?, journal_hash = ? WHERE position = ?",
            (text, heads[stream], link, position),
        )
    for text in triggers:
        connection.execute(text)
    connection.close()


def board_repainted(path: Path) -> None:
    """The board made to say what the events say by now, as somebody would who leaves a file sound in itself."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        fill(connection)


def tail_cut(path: Path) -> None:
    connection, triggers = triggers_away(path)
    connection.execute("DELETE FROM event WHERE position >= (SELECT max(position) - 1 FROM event)")
    for text in triggers:
        connection.execute(text)
    connection.close()


def older_put_in_its_place(path: Path) -> None:
    os.replace(path.with_name("older"), path)


def older_carried_on(path: Path) -> None:
    """An older copy in the file's place, and as many other events as were lost."""
    older_put_in_its_place(path)
    with Shop.open(path) as shop, shop.write() as writing:
        last = writing.events(STREAM)[-1].data
        for _ in range(2):
            act = {**last["act"], "reading": 9, "value": "299"}
            writing.append(STREAM, last["kind"], last["by"], last["happened_at"], last["recorded_at"], act)


@pytest.mark.parametrize(
    ("attack", "why_job", "why_journal"),
    [
        (
            recomputed,
            "altered and computed anew; the journal's code at that number of events is ",
            "events is ",
        ),
        (
            tail_cut,
            "it has 4 events, and 5 were noted: its end was cut off, or an older copy was put in its place",
            "it has 4 events, and 6 were noted",
        ),
        (
            older_put_in_its_place,
            "it has 4 events, and 5 were noted: its end was cut off, or an older copy was put in its place",
            "it has 4 events, and 6 were noted",
        ),
        (older_carried_on, "carried on from a copy", "events is "),
    ],
)
def test_what_leaves_a_file_sound_is_found_by_what_was_noted(
    bench: Bench, attack: Attack, why_job: str, why_journal: str
) -> None:
    for number in range(4):
        if number == 2:
            bench.shop.path.with_name("older").write_bytes(bench.shop.path.read_bytes())
        bench.record(10, "preheat temperature", f"{300 + number} F", place="web")
    job, whole = printed(bench), journal(bench)
    first = journal(bench)
    assert verify(bench.shop.path, job).fits
    bench.shop.path.with_name("copy").write_bytes(bench.shop.path.read_bytes())
    bench.shop.close()
    attack(bench.shop.path)
    board_repainted(bench.shop.path)
    # Sound in itself: without something noted elsewhere nothing shows it.
    assert verify(bench.shop.path).faults == ()
    for noted, why in ((job, why_job), (whole, why_journal), (first, why_journal)):
        checked = verify(bench.shop.path, noted)
        assert not checked.fits
        assert checked.faults == ()
        assert sentence(checked).startswith("no event of this file gives the code ")
        assert why in checked.against[1]
    with Shop.open(bench.shop.path) as opened:
        assert "seen here on" in opened.warning
    beside = verify(bench.shop.path, str(bench.shop.path.with_name("copy")))
    assert not beside.fits
    assert re.search(r"part after \d events|ends after \d events", sentence(beside))


def test_a_signature_copied_to_another_place_is_found(bench: Bench) -> None:
    """The row of a signature, with its hash, put behind the end as the acceptance of another step."""
    bench.through_preheat()
    bench.run_of_weld()
    noted = printed(bench)
    bench.shop.close()
    connection, triggers = triggers_away(bench.shop.path)
    columns = "kind, recorded_at, body, hash, journal_hash"
    connection.execute(
        f"INSERT INTO event (position, stream, seq, id, {columns})"
        f" SELECT (SELECT max(position) + 1 FROM event), stream, (SELECT max(seq) + 1 FROM event e"
        f" WHERE e.stream = event.stream), 'copied', {columns} FROM event WHERE kind = 'step accepted'"
    )
    for text in triggers:
        connection.execute(text)
    connection.close()
    checked = verify(bench.shop.path, noted)
    assert not any("event 7" in fault for fault in checked.faults)
    assert checked.faults[0].startswith(f"event 8 of {STREAM}: its text or its place is not the one")
    # What was there when the code was noted is still as it was.
    assert f"{STREAM} is 1 event further, and unaltered up to there" in sentence(checked)


def test_a_number_that_does_not_belong_to_the_code_is_said(bench: Bench) -> None:
    bench.preheated()
    code = printed(bench).split()[1].rstrip(",")
    checked = verify(bench.shop.path, f"{code} 7 events")
    assert not checked.fits
    assert "is that of event 3 of" in sentence(checked)
    assert "either the code or the number was not noted with the other" in sentence(checked)


def test_what_is_neither_a_code_nor_a_file_is_refused(bench: Bench) -> None:
    for typed in ("", "K3QF", "nowhere.json", "\x00", "x" * 5000):
        with pytest.raises(BadInput, match="is no code"):
            verify(bench.shop.path, typed)


def test_an_export_is_held_against_the_shop_it_came_from(bench: Bench, tmp_path: Path) -> None:
    bench.preheated()
    path, later = tmp_path / "job.json", tmp_path / "later.json"
    path.write_bytes(export(bench.shop, bench.number, "json"))
    bench.record(10, "preheat temperature", "330 F", place="web")
    later.write_bytes(export(bench.shop, bench.number, "json"))
    assert f"{STREAM} is 1 event further" in sentence(verify(bench.shop.path, str(path)))
    assert f"{STREAM} is 1 event further" in sentence(verify(later, str(path)))
    older = verify(path, str(later))
    assert not older.fits
    assert "it has 3 events, and 4 were noted" in older.against[1]
    with pytest.raises(BadInput, match="name the shop file first"):
        verify(path, str(bench.shop.path))
    data = json.loads(path.read_text())
    data["traveler"]["title"] = "another"
    path.write_text(json.dumps(data))
    refused = verify(bench.shop.path, str(path))
    assert not refused.fits
    assert "job.json is itself altered: traveler.title is printed as" in sentence(refused)
    assert verify(path, chain_only=True).faults == ()


def test_two_copies_of_a_shop(bench: Bench, tmp_path: Path) -> None:
    bench.preheated()
    copy = tmp_path / "copy"
    copy.write_bytes(bench.shop.path.read_bytes())
    assert sentence(verify(bench.shop.path, str(copy))) == f"{copy} holds the same 4 events"
    bench.record(10, "preheat temperature", "330 F", place="web")
    further = verify(bench.shop.path, str(copy))
    assert further.fits
    assert f"holds its first 4 events unaltered; it goes on with event 4 of job {NUMBER}" in sentence(further)
    shorter = verify(copy, str(bench.shop.path))
    assert not shorter.fits
    assert "it ends after 4 events, where" in sentence(shorter)
    with Shop.open(copy) as other, other.write() as writing:
        last = writing.events("shop")[-1].data
        writing.append("shop", "backup made", last["by"], last["happened_at"], last["recorded_at"], {})
    parted = verify(bench.shop.path, str(copy))
    assert not parted.fits
    assert "part after 4 events" in sentence(parted)
    assert parted.against[1].startswith(f"it goes on with event 4 of job {NUMBER}, reading recorded")
    assert parted.against[2].startswith("the other goes on with event 2 of shop, backup made")
    with Shop.create(tmp_path / "another") as another:
        assert "is the file of another shop" in sentence(verify(another.path, str(copy)))
    connection, _ = triggers_away(copy)
    connection.close()
    assert "copy is itself altered: schema: trigger" in sentence(verify(bench.shop.path, str(copy)))
    assert "not compared with" in sentence(verify(copy, str(bench.shop.path)))
    with pytest.raises(TravelerError, match="is no file"):
        verify(tmp_path / "nowhere", str(copy))
