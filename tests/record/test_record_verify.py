"""What was altered with a database shell is named: the event, or at least the other code."""

import hashlib
import json
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from record_kit import BY, JOB, NOON, append, fill, plain

from traveler.errors import TravelerError
from traveler.record.chain import canonical, code
from traveler.record.schema import SCHEMA
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

Alteration = Callable[[sqlite3.Connection], object]


def filled(shop: Shop) -> Path:
    fill(shop, 6)
    append(shop, "98", "job H-015")
    append(shop, "99", "job H-015")
    return shop.path


def behind_our_back(path: Path, alteration: Alteration) -> None:
    """Alter a file as somebody does who takes the triggers away and puts them back afterwards."""
    connection = plain(path)
    triggers = [text for text in SCHEMA if text.startswith("CREATE TRIGGER")]
    for text in triggers:
        connection.execute(f"DROP TRIGGER {text.split()[2]}")
    alteration(connection)
    for text in triggers:
        connection.execute(text)
    connection.close()


def statement(text: str) -> Alteration:
    return lambda connection: connection.execute(text)


def test_an_unaltered_file_verifies(shop: Shop) -> None:
    filled(shop)
    found = verify_shop(shop.path)
    assert found.ok
    assert (found.faults, found.events, found.streams) == ((), 9, 3)
    (last,) = plain(shop.path).execute("SELECT journal_hash FROM event WHERE position = 9").fetchone()
    assert found.journal_head == code(last)


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("UPDATE event SET body = replace(body, '\"303\"', '\"403\"')", "event 4 of job H-014: its text"),
        (
            "UPDATE event SET body = CAST(x'7b80' AS TEXT) WHERE position = 5",
            "event 4 of job H-014: its text",
        ),
        ("UPDATE event SET body = '' WHERE position = 5", "event 4 of job H-014: its text"),
        ("UPDATE event SET body = '[' WHERE position = 9", "event 2 of job H-015: its text"),
        (
            "UPDATE event SET recorded_at = '2026' WHERE position = 5",
            "event 4 of job H-014: the column recorded_at",
        ),
        (
            "UPDATE event SET kind = CAST(x'ff' AS TEXT) WHERE position = 5",
            "event 4 of job H-014: the column kind",
        ),
        ("UPDATE event SET id = 'x' WHERE position = 5", "event 4 of job H-014: the column id"),
        ("UPDATE event SET hash = zeroblob(32) WHERE position = 5", "event 4 of job H-014: its text"),
        (
            "UPDATE event SET journal_hash = zeroblob(32) WHERE position = 5",
            "event 4 of job H-014: it is not the event",
        ),
        ("DELETE FROM event WHERE position = 5", "event 5 of job H-014: it follows event 3"),
        ("DELETE FROM event WHERE position = 8", "event 2 of job H-015: it follows event 0"),
        (
            "UPDATE event SET stream = 'job H-016' WHERE stream = 'job H-015'",
            "event 1 of job H-016: its text",
        ),
        ("UPDATE event SET position = -5 WHERE position = 5", "event 4 of job H-014: it follows event 0"),
        ("DELETE FROM shop", "the shop's id is missing"),
        ("UPDATE shop SET id = 'ffffffffffffffffffffffffffffffff'", "event 1 of shop: its text"),
        ("DELETE FROM event", "the file holds no event"),
        ("DROP TABLE attachment_chunk", "schema: table attachment_chunk is missing"),
        (
            "UPDATE schema_step SET sha256 = 'x' WHERE number = 2",
            "schema: step 2 of its schema, secrets, was made by",
        ),
        (
            "INSERT INTO board SELECT 'H-9', '', '', '', '', '', '', '', NULL, '', '', '', 0, 0, '', '', '', '', 0",
            "the board shows job H-9",
        ),
    ],
)
def test_the_first_fault_is_named(shop: Shop, text: str, first: str) -> None:
    filled(shop)
    if "DROP TABLE" in text:
        plain(shop.path).execute(text)
    else:
        behind_our_back(shop.path, statement(text))
    found = verify_shop(shop.path)
    assert not found.ok
    assert found.faults[0].startswith(first)


def swap(connection: sqlite3.Connection) -> None:
    """Exchange two readings of one job as whole rows, each keeping its own hash."""
    columns = "stream, seq, id, kind, recorded_at, body, hash, journal_hash"
    rows = connection.execute(
        f"SELECT {columns} FROM event WHERE position IN (4, 5) ORDER BY position"
    ).fetchall()
    connection.execute("DELETE FROM event WHERE position IN (4, 5)")
    for position, row in zip((5, 4), rows, strict=True):
        connection.execute(
            f"INSERT INTO event (position, {columns}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", (position, *row)
        )


def test_reordering_is_found(shop: Shop) -> None:
    behind_our_back(filled(shop), swap)
    found = verify_shop(shop.path)
    assert found.faults[0].startswith("event 4 of job H-014: it follows event 2")
    assert any("event 3 of job H-014" in fault for fault in found.faults)


def forge(connection: sqlite3.Connection) -> None:
    """Alter a reading and compute every link of the file anew, as the documentation allows anybody to."""
    (shop_id,) = connection.execute("SELECT id FROM shop").fetchone()
    heads: dict[str, bytes] = {}
    journal = hashlib.sha256((shop_id + "journal").encode()).digest()
    for position, stream, body in connection.execute("SELECT position, stream, body FROM event").fetchall():
        data = json.loads(body)
        if data["act"].get("value") == "303":
            data["act"]["value"] = "403"
        text = canonical(data)
        before = heads.get(stream) or hashlib.sha256((shop_id + stream).encode()).digest()
        heads[stream] = hashlib.sha256(before + text.encode()).digest()
        journal = hashlib.sha256(journal + heads[stream]).digest()
        connection.execute(
            "UPDATE event SET body = ?, hash = ?, journal_hash = ? WHERE position = ?",
            (text, heads[stream], journal, position),
        )


def test_a_file_forged_throughout_shows_another_code(shop: Shop) -> None:
    noted = verify_shop(filled(shop)).journal_head
    noted_job = code(shop.events(JOB)[-1].hash)
    noted_other = code(shop.events("job H-015")[-1].hash)
    behind_our_back(shop.path, forge)
    found = verify_shop(shop.path)
    # Consistent in itself: only what was noted outside the file shows it.
    assert found.ok
    assert found.journal_head != noted
    assert code(shop.events(JOB)[-1].hash) != noted_job
    assert code(shop.events("job H-015")[-1].hash) == noted_other


def test_lost_last_events_show_another_code_and_number(shop: Shop) -> None:
    noted = verify_shop(filled(shop))
    behind_our_back(shop.path, statement("DELETE FROM event WHERE position > 7"))
    found = verify_shop(shop.path)
    assert found.ok
    assert found.events == noted.events - 2
    assert found.journal_head != noted.journal_head


def test_a_missing_trigger_is_named(shop: Shop) -> None:
    plain(filled(shop)).execute("DROP TRIGGER event_no_update")
    assert verify_shop(shop.path).faults == ("schema: trigger event_no_update is missing",)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("UPDATE attachment_chunk SET content = x'00'", "its content is not the one that was stored"),
        ("UPDATE attachment SET size = 1", "5 bytes are stored, 1 are noted"),
        ("DELETE FROM attachment_chunk", "its content is not the one that was stored"),
        ("DELETE FROM attachment", "named by event 1 of job H-014 and missing"),
    ],
)
def test_an_altered_attachment_is_named(shop: Shop, text: str, expected: str) -> None:
    with shop.write() as writing:
        name, size = writing.put_attachment(b"chart")
        act = {"step": 40, "files": [{"sha256": name, "size": size, "as": "chart"}]}
        writing.append(JOB, "file attached", BY, NOON, NOON, act)
    assert verify_shop(shop.path).ok
    behind_our_back(shop.path, statement(text))
    assert verify_shop(shop.path).faults[0] == f"attachment {name}: {expected}"


@pytest.mark.parametrize("stream", [JOB, "shop"])
def test_events_are_looked_at_whatever_became_of_the_attachments(shop: Shop, stream: str) -> None:
    with shop.write() as writing:
        name, size = writing.put_attachment(b"chart")
        writing.append(stream, "file attached", BY, NOON, NOON, {"files": [{"sha256": name, "size": size}]})
    filled(shop)
    behind_our_back(shop.path, statement("UPDATE event SET kind = 'x' WHERE position = 10"))
    plain(shop.path).execute("DROP TABLE attachment")
    found = verify_shop(shop.path)
    assert found.events == 10
    assert found.faults[:3] == (
        "event 2 of job H-015: the column kind differs from the text",
        "the file is damaged: no such table: attachment",
        "schema: table attachment is missing",
    )


def test_a_flipped_byte_in_the_middle_of_the_file_is_named(shop: Shop) -> None:
    """Not by SQL but in the file's bytes, which no trigger sees."""
    fill(shop, 300)
    shop.close()
    content = bytearray(shop.path.read_bytes())
    content[content.index(b'"value":"450"') + 10] ^= 0x01  # 450 becomes 550
    shop.path.write_bytes(content)
    assert verify_shop(shop.path).faults == (
        "event 151 of job H-014: its text or its place is not the one that was hashed",
    )


def test_a_flipped_byte_in_an_index_is_named(shop: Shop) -> None:
    """The events are whole, but whoever asks the index for those of the job is not handed all of them."""
    fill(shop, 300)
    shop.close()
    content = bytearray(shop.path.read_bytes())
    leaf_of_index = 0x0A
    pages = (at for at in range(4096, len(content), 4096) if content[at] == leaf_of_index)
    entry = next(at for page in pages if (at := content.find(b"job H-014", page, page + 4096)) > 0)
    content[entry + 8] ^= 0x01
    shop.path.write_bytes(content)
    found = verify_shop(shop.path)
    assert found.faults
    assert all(fault.startswith("structure: ") for fault in found.faults)


def test_a_torn_file_is_reported_or_refused(shop: Shop) -> None:
    fill(shop, 300)
    shop.close()
    whole = shop.path.read_bytes()
    for page in range(1, len(whole) // 4096):
        shop.path.write_bytes(whole[: page * 4096] + b"\x5a" * 4096 + whole[(page + 1) * 4096 :])
        try:
            ok = verify_shop(shop.path).ok
        except TravelerError:
            ok = False
        # A page may be free or hold only the names of tables; an event's page never does.
        assert not ok or b"happened_at" not in whole[page * 4096 : (page + 1) * 4096]
    shop.path.write_bytes(whole)
    assert verify_shop(shop.path).ok


def test_a_busy_file_is_not_called_damaged(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("traveler.record.connection.BUSY_SECONDS", 0.02)
    holder = plain(filled(shop))
    holder.execute("BEGIN EXCLUSIVE")
    with pytest.raises(TravelerError, match="in use"):
        verify_shop(shop.path)
    holder.execute("ROLLBACK")
    assert verify_shop(shop.path).ok
