"""A copy while the file is in use, the way back, and the locks that must survive both."""

import sqlite3
import sys
from datetime import datetime
from pathlib import Path

import pytest
from record_kit import BY, JOB, NOON, append, fill, plain, run

from traveler.errors import TravelerError
from traveler.record.backup import Backup, backup, days_since_backup, restore
from traveler.record.chain import code
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop


def test_a_backup_holds_what_is_committed(shop: Shop, tmp_path: Path) -> None:
    fill(shop, 3)
    with Shop.open(shop.path, read_only=True) as reader, shop.write() as writing:
        writing.append(JOB, "reading recorded", BY, NOON, NOON, {"value": "999"})
        backup(reader, tmp_path / "copy", BY, NOON)
    with Shop.open(tmp_path / "copy") as copy:
        assert copy.shop_id == shop.shop_id
        assert copy.events(JOB) == shop.events(JOB)[:3]
    assert len(shop.events(JOB)) == 4


def test_a_backup_never_lies_over_a_file(shop: Shop, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("mine")
    (tmp_path / "dangling").symlink_to(tmp_path / "nowhere")
    for name in ("taken", "dangling", shop.path.name):
        with pytest.raises(TravelerError, match="exists already"):
            backup(shop, tmp_path / name, BY, NOON)
    assert (tmp_path / "taken").read_text() == "mine"
    with pytest.raises(TravelerError, match="cannot be made"):
        backup(shop, tmp_path / "no such folder" / "copy", BY, NOON)
    assert not (tmp_path / "no such folder").exists()


def test_an_altered_file_is_not_backed_up_or_restored(shop: Shop, tmp_path: Path) -> None:
    fill(shop, 3)
    altering = plain(shop.path)
    altering.execute("DROP TRIGGER event_no_update")
    altering.execute("UPDATE event SET body = replace(body, '\"301\"', '\"401\"')")
    with pytest.raises(TravelerError, match=r"not sound: event 2 of job H-014.*no backup was made"):
        backup(shop, tmp_path / "copy", BY, NOON)
    with pytest.raises(TravelerError, match=r"not sound: event 2 of job H-014.*nothing was restored"):
        restore(shop.path, tmp_path / "copy", BY, NOON)
    assert [entry.name for entry in tmp_path.iterdir()] == ["shop.traveler"]


def test_a_backup_does_not_wait_without_end(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("traveler.record.connection.BUSY_SECONDS", 0.02)
    holder = plain(shop.path)
    holder.execute("BEGIN EXCLUSIVE")
    with pytest.raises(TravelerError, match="in use"):
        backup(shop, tmp_path / "copy", BY, NOON)
    assert [entry.name for entry in tmp_path.iterdir()] == ["shop.traveler"]


def test_a_backup_is_noted_in_the_shop_and_not_in_itself(shop: Shop, tmp_path: Path) -> None:
    fill(shop, 3)
    before = verify_shop(shop.path)
    made = backup(shop, tmp_path / "copy", BY, NOON)
    assert made == Backup(4, before.journal_head, noted=True)
    event = shop.events("shop")[-1].data
    assert (event["kind"], event["by"], event["recorded_at"]) == ("backup made", BY, NOON)
    assert event["act"] == {"to": "copy", "journal": {"events": 4, "head": before.journal_head}}
    assert verify_shop(tmp_path / "copy") == before
    # The next one holds the note of the first.
    assert backup(shop, tmp_path / "next", BY, NOON).events == 5
    with Shop.open(shop.path, read_only=True) as reader:
        assert not backup(reader, tmp_path / "third", BY, NOON).noted
    assert len(shop.events("shop")) == 3


def test_a_backup_that_cannot_be_noted_is_there_all_the_same(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("traveler.record.connection.BUSY_SECONDS", 0.02)
    fill(shop, 2)
    with (
        Shop.open(shop.path) as other,
        shop.write(),
        pytest.raises(TravelerError, match=r"copy was made and verified, but .* could not note it: .*in use"),
    ):
        backup(other, tmp_path / "copy", BY, NOON)
    assert verify_shop(tmp_path / "copy").ok


@pytest.mark.parametrize(
    ("backups", "now", "days"),
    [
        ([], "2026-03-10T12:00:00+00:00", None),
        (["2026-03-02T12:00:00+01:00"], "2026-03-02T11:00:00+00:00", 0),
        (["2026-03-02T12:00:00+01:00"], "2026-03-03T10:59:59+00:00", 0),
        (["2026-03-02T12:00:00+01:00"], "2026-03-03T11:00:00+00:00", 1),
        (["2026-03-02T12:00:00+01:00", "2026-02-27T12:00:00+01:00"], "2026-03-09T11:00:00+00:00", 10),
        # A clock a little behind is no matter; one that was a day or years ahead proves nothing.
        (["2026-03-02T12:00:00+01:00"], "2026-03-02T10:59:00+00:00", 0),
        (["2036-03-02T12:00:00+01:00"], "2026-03-09T11:00:00+00:00", None),
    ],
)
def test_how_long_ago_the_last_backup_was(
    shop: Shop, tmp_path: Path, backups: list[str], now: str, days: int | None
) -> None:
    for number, made in enumerate(backups):
        backup(shop, tmp_path / f"copy {number}", BY, made)
    append(shop, "1", "shop")
    assert days_since_backup(shop.events("shop"), datetime.fromisoformat(now)) == days


def test_restoring_is_itself_recorded(shop: Shop, tmp_path: Path) -> None:
    fill(shop, 3)
    with shop.write() as writing:
        name, _ = writing.put_attachment(b"chart")
    before, own = verify_shop(shop.path), shop.events("shop")
    backup(shop, tmp_path / "copy", BY, NOON)
    restore(tmp_path / "copy", tmp_path / "new" / "shop.traveler", BY, NOON)
    with Shop.open(tmp_path / "new" / "shop.traveler") as restored:
        assert restored.shop_id == shop.shop_id
        assert restored.events(JOB) == shop.events(JOB)
        assert restored.attachment(name) == b"chart"
        event = restored.events("shop")[-1]
        assert event.data["kind"] == "shop restored"
        assert event.data["by"] == BY
        assert event.data["act"] == {
            "from": "copy",
            "heads": {
                "journal": {"events": 4, "head": before.journal_head},
                "shop": {"events": 1, "head": code(own[-1].hash)},
            },
        }
    assert verify_shop(tmp_path / "new" / "shop.traveler").ok
    assert verify_shop(tmp_path / "copy") == before


@pytest.mark.parametrize(("source", "told"), [("missing", "does not exist"), ("text", "is not a shop file")])
def test_only_a_shop_file_is_restored_and_only_to_a_free_name(
    shop: Shop, tmp_path: Path, source: str, told: str
) -> None:
    (tmp_path / "text").write_text("not a shop file, whatever its name says " * 20)
    with pytest.raises(TravelerError, match=told):
        restore(tmp_path / source, tmp_path / "new" / "shop", BY, NOON)
    assert not (tmp_path / "new").exists()
    backup(shop, tmp_path / "copy", BY, NOON)
    with pytest.raises(TravelerError, match="exists already"):
        restore(tmp_path / "copy", shop.path, BY, NOON)


# Another program that asks for the write lock and does not wait.
ASKING = """
import sqlite3, sys
connection = sqlite3.connect(sys.argv[1], timeout=0, isolation_level=None)
try:
    connection.execute("BEGIN IMMEDIATE")
    print("got it")
except sqlite3.OperationalError as error:
    print(error)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="locks of Windows belong to the handle")
def test_the_write_lock_survives_everything_done_to_the_file(shop: Shop, tmp_path: Path) -> None:
    fill(shop, 2)
    with Shop.open(shop.path, read_only=True) as reader, shop.write() as writing:
        writing.append(JOB, "reading recorded", BY, NOON, NOON, {"value": "300"})
        backup(reader, tmp_path / "copy", BY, NOON)
        assert run(ASKING, shop.path).strip() == "database is locked"
        restore(shop.path, tmp_path / "restored", BY, NOON)
        assert run(ASKING, shop.path).strip() == "database is locked"
        assert verify_shop(shop.path).ok
        assert run(ASKING, shop.path).strip() == "database is locked"
        Shop.open(shop.path, read_only=True).close()
        assert run(ASKING, shop.path).strip() == "database is locked"
        with pytest.raises(TravelerError):
            Shop.create(shop.path)
        assert run(ASKING, shop.path).strip() == "database is locked"
    assert run(ASKING, shop.path).strip() == "got it"
    assert len(shop.events(JOB)) == 3


@pytest.mark.skipif(sys.platform == "win32", reason="locks of Windows belong to the handle")
def test_the_check_above_would_see_a_dropped_lock(tmp_path: Path) -> None:
    """Reading the file's bytes past SQLite drops the lock: so nothing in this package does it."""
    path = tmp_path / "any.db"
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("CREATE TABLE any (x)")
    holder.execute("BEGIN IMMEDIATE")
    assert run(ASKING, path).strip() == "database is locked"
    path.read_bytes()
    assert run(ASKING, path).strip() == "got it"
