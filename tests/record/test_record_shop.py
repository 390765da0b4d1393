"""The shop's file as its callers use it."""

import hashlib
import json
import sqlite3
import stat
import sys
import threading
from pathlib import Path

import pytest
from record_kit import BY, JOB, NOON, append, fill, plain, run

from traveler.errors import BadInput, TravelerError
from traveler.record import connection
from traveler.record.attachments import LARGEST_BYTES, PIECE_BYTES
from traveler.record.rows import BoardRow
from traveler.record.shop import Shop


def test_a_new_shop_is_founded(tmp_path: Path) -> None:
    path = tmp_path / "not yet" / "there #1?" / "shop.traveler"
    with Shop.create(path) as shop:
        (founded,) = shop.events("shop")
        assert founded.data["kind"] == "shop founded"
        assert founded.data["act"] == {"shop": shop.shop_id}
        assert len(bytes.fromhex(shop.shop_id)) == 16
        assert shop.job_numbers() == []
        assert shop.first_job() is None
    assert [entry.name for entry in path.parent.iterdir()] == ["shop.traveler"]
    with Shop.create(path.with_name("other")) as other:
        assert other.shop_id != shop.shop_id


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no mode bits")
def test_only_its_owner_may_read_a_new_shop(shop: Shop) -> None:
    assert stat.S_IMODE(shop.path.stat().st_mode) == 0o600


def test_a_shop_is_never_made_over_a_file(shop: Shop) -> None:
    append(shop, "300")
    with pytest.raises(TravelerError, match="exists already"):
        Shop.create(shop.path)
    assert len(shop.events(JOB)) == 1


def test_events_come_back_as_they_were_written(shop: Shop) -> None:
    first, second = append(shop, "300"), append(shop, "312")
    append(shop, "99", "job H-015")
    assert shop.events(JOB) == [first, second]
    assert second.data["seq"] == 2
    assert second.data["act"] == {"value": "312", "unit": "degF"}
    assert first.data["id"] != second.data["id"]
    assert shop.events("job H-0") == []


def test_the_file_chains_as_published(shop: Shop) -> None:
    """Recomputed with hashlib and a plain connection only, from the words of the documentation."""
    fill(shop, 3)
    fill(shop, 2, "job H-015")
    append(shop, "320")
    heads: dict[str, bytes] = {}
    journal = hashlib.sha256((shop.shop_id + "journal").encode()).digest()
    rows = plain(shop.path).execute("SELECT * FROM event ORDER BY position").fetchall()
    assert [row[0] for row in rows] == [1, 2, 3, 4, 5, 6, 7]
    for _, stream, seq, event_id, kind, recorded_at, body, link, journal_hash in rows:
        before = heads.get(stream) or hashlib.sha256((shop.shop_id + stream).encode()).digest()
        heads[stream] = hashlib.sha256(before + body.encode("utf-8")).digest()
        journal = hashlib.sha256(journal + link).digest()
        assert (link, journal_hash) == (heads[stream], journal)
        data = json.loads(body)
        assert body == json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        assert [stream, seq, event_id, kind, recorded_at] == [
            data[key] for key in ("stream", "seq", "id", "kind", "recorded_at")
        ]
        assert set(data) == {"stream", "seq", "id", "kind", "happened_at", "recorded_at", "by", "act"}


def test_jobs_are_listed_in_the_order_they_were_begun(shop: Shop) -> None:
    for number in ("H-20", "H-3", "Ø-1"):
        append(shop, "1", f"job {number}")
    append(shop, "2", "job H-20")
    assert shop.job_numbers() == ["H-20", "H-3", "Ø-1"]
    assert shop.first_job() == "H-20"
    assert shop.has_job("H-3")
    assert not shop.has_job("h-3")
    assert not shop.has_job("shop")


def test_a_number_typed_in_decomposed_letters_is_the_same_job(shop: Shop) -> None:
    append(shop, "1", "job A\u030a-1")
    assert shop.has_job("\u00c5-1")
    assert shop.has_job("A\u030a-1")
    assert append(shop, "2", "job \u00c5-1").seq == 2
    assert len(shop.events("job A\u030a-1")) == 2


def board_row(number: str, state: str = "in process") -> BoardRow:
    return BoardRow(number, "[A36] upright", state, "40 preheat", "2 readings needed, none taken.", NOON)


def test_the_board_shows_what_was_written_to_last_first(shop: Shop) -> None:
    for number in ("H-1", "H-2", "H-1"):
        with shop.write() as writing:
            writing.append(f"job {number}", "job issued", BY, NOON, NOON, {})
            writing.put_board_row(board_row(number))
    assert [row.number for row in shop.board()] == ["H-1", "H-2"]
    with shop.write() as writing:
        writing.put_board_row(board_row("H-2", "closed"))
    assert shop.board() == [board_row("H-1"), board_row("H-2", "closed")]


def test_somebody_elses_writing_is_noticed(shop: Shop) -> None:
    with Shop.open(shop.path) as other:
        before = shop.data_version()
        append(shop, "300")
        assert shop.data_version() == before
        append(other, "301")
        assert shop.data_version() != before
    assert len(shop.events(JOB)) == 2


def test_a_failed_act_leaves_nothing(shop: Shop) -> None:
    def half_an_act() -> None:
        with shop.write() as writing:
            writing.append(JOB, "job issued", BY, NOON, NOON, {})
            writing.put_board_row(board_row("H-014"))
            writing.put_attachment(b"chart")
            assert len(writing.events(JOB)) == 1
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        half_an_act()
    assert shop.events(JOB) == []
    assert shop.board() == []
    with pytest.raises(TravelerError, match="is not in the shop file"):
        shop.attachment(hashlib.sha256(b"chart").hexdigest())
    assert append(shop, "300").seq == 1


def test_a_write_is_of_no_use_after_its_end(shop: Shop) -> None:
    with shop.write() as writing:
        pass
    with pytest.raises(RuntimeError, match="has ended"):
        writing.append(JOB, "job issued", BY, NOON, NOON, {})
    assert shop.events(JOB) == []


def test_a_write_sees_what_it_has_appended_itself(shop: Shop) -> None:
    last = append(shop, "300")
    with shop.write() as writing:
        before = [writing.events_after(JOB, last.seq, last.hash) for _ in range(2)]
        for stream in (JOB, "shop"):
            writing.append(stream, "reading recorded", BY, NOON, NOON, {"value": "301"})
        after = [writing.events_after(JOB, last.seq, last.hash) for _ in range(2)]
        newest = writing.events(JOB)[-1]
        at_its_end = writing.events_after(JOB, newest.seq, newest.hash)
        elsewhere = writing.events_after(JOB, newest.seq, last.hash)
    assert before == [[], []]
    assert after == [[newest], [newest]]
    assert (at_its_end, elsewhere) == ([], None)


def test_a_write_asks_once_where_a_stream_ends(shop: Shop) -> None:
    last, asked = append(shop, "300"), []
    with shop.write() as writing:
        shop._connection.set_trace_callback(asked.append)
        for _ in range(3):
            assert writing.events_after(JOB, last.seq, last.hash) == []
        shop._connection.set_trace_callback(None)
    assert len(asked) == 1


@pytest.mark.parametrize(
    ("stream", "happened_at", "expected"),
    [
        ("H-014", NOON, "stream"),
        ("job ", NOON, "stream"),
        ("job  H", NOON, "stream"),
        ("job H\x1b[31m", NOON, "stream"),
        (JOB, "yesterday", "happened_at"),
        (JOB, "2026-03-02T12:00:00", "offset"),
    ],
)
def test_what_could_never_be_corrected_is_not_written(
    shop: Shop, stream: str, happened_at: str, expected: str
) -> None:
    with pytest.raises(BadInput, match=expected), shop.write() as writing:
        writing.append(stream, "job issued", BY, happened_at, NOON, {})
    assert shop.job_numbers() == []


def test_reading_only(shop: Shop) -> None:
    append(shop, "300")
    with Shop.open(shop.path, read_only=True) as reader:
        assert len(reader.events(JOB)) == 1
        with pytest.raises(TravelerError, match="reading only"), reader.write():
            pytest.fail("the block must not run")
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            reader._connection.execute("DELETE FROM board")


def test_the_documented_settings_are_in_force(shop: Shop) -> None:
    settings = (
        "foreign_keys",
        "recursive_triggers",
        "trusted_schema",
        "cell_size_check",
        "synchronous",
        "journal_mode",
    )
    found = {name: shop._connection.execute(f"PRAGMA {name}").fetchone()[0] for name in settings}
    assert found == {
        "foreign_keys": 1,
        "recursive_triggers": 1,
        "trusted_schema": 0,
        "cell_size_check": 1,
        "synchronous": 3,
        "journal_mode": "delete",
    }


def test_attachments_are_cut_deduplicated_and_checked(shop: Shop) -> None:
    content = bytes(range(256)) * (PIECE_BYTES // 256) * 2 + b"the rest"
    with shop.write() as writing:
        stored = writing.put_attachment(
            content[start : start + 70_001] for start in range(0, len(content), 70_001)
        )
        assert writing.put_attachment(content) == stored
        assert writing.put_attachment(b"") == (hashlib.sha256(b"").hexdigest(), 0)
    assert stored == (hashlib.sha256(content).hexdigest(), len(content))
    assert shop.attachment(stored[0]) == content
    assert shop.attachment(hashlib.sha256(b"").hexdigest()) == b""
    sizes = (
        plain(shop.path).execute("SELECT length(content) FROM attachment_chunk ORDER BY number").fetchall()
    )
    assert sizes == [(PIECE_BYTES,), (PIECE_BYTES,), (8,)]
    altering = plain(shop.path)
    altering.execute("DROP TRIGGER attachment_chunk_no_update")
    altering.execute("UPDATE attachment_chunk SET content = x'00' WHERE number = 2")
    with pytest.raises(TravelerError, match="was altered"):
        shop.attachment(stored[0])


def test_an_attachment_has_a_largest_size(shop: Shop) -> None:
    blocks = (bytes(PIECE_BYTES) for _ in range(LARGEST_BYTES // PIECE_BYTES + 1))
    with pytest.raises(BadInput, match="larger than 64 MiB"), shop.write() as writing:
        writing.put_attachment(blocks)


def test_a_busy_file_is_said_and_nothing_is_half_written(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connection, "BUSY_SECONDS", 0.02)
    shop.wait_at_most(0.02)
    with Shop.open(shop.path) as other:
        with (
            other.write(),
            pytest.raises(TravelerError, match=r"in use by another program.*nothing was written"),
            shop.write(),
        ):
            pytest.fail("the block must not run")
        reader = plain(shop.path)
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM event").fetchone()
        # A reader in the middle of reading holds up the COMMIT itself.
        with pytest.raises(TravelerError, match="nothing was written"):
            append(other, "300")
        reader.execute("COMMIT")
        assert other.events(JOB) == []
        assert append(other, "301").seq == 1


def test_a_write_has_its_turn_soon_after_another_ends(shop: Shop) -> None:
    begun, ended = threading.Event(), threading.Event()

    def another() -> None:
        with Shop.open(shop.path) as other, other.write() as writing:
            writing.append(JOB, "reading recorded", BY, NOON, NOON, {"value": "300"})
            begun.set()
            ended.wait(10)

    holder = threading.Thread(target=another)
    holder.start()
    assert begun.wait(10)
    threading.Timer(0.1, ended.set).start()
    assert append(shop, "301").seq == 2
    holder.join()
    assert [event.data["act"]["value"] for event in shop.events(JOB)] == ["300", "301"]


def test_one_reading_needs_no_migration_runner(shop: Shop) -> None:
    script = """
import sys
from pathlib import Path
from record_kit import append
from traveler.record.shop import Shop
with Shop.open(Path(sys.argv[1])) as shop:
    append(shop, "300")
    shop.board()
print(sorted(name for name in ("sqlite_utils", "click", "pint", "textual") if name in sys.modules))
"""
    assert run(script, shop.path).strip() == "[]"
    assert len(shop.events(JOB)) == 1
