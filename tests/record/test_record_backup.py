"""A copy while the file is in use, the way back, and the locks that must survive both."""

import sqlite3
import sys
from pathlib import Path

import pytest
from record_kit import BY, JOB, NOON, fill, plain, run

from traveler.errors import TravelerError
from traveler.record.backup import backup, restore
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
    altering.execute("UPDATE event SET body = replace(body, '301', '401')")
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
