"""What the file refuses, and the one sentence for each file that cannot be used."""

import itertools
import os
import sqlite3
import subprocess
import sys
from collections import deque
from collections.abc import Iterator
from pathlib import Path

import pytest
from record_kit import BY, JOB, NOON, append, fill, plain

from traveler.errors import TravelerError
from traveler.record import network
from traveler.record.network import mount_type
from traveler.record.schema import SCHEMA
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop

NEXT_EVENT = (
    "INTO event SELECT max(position) + 1, 'job H-014', 4, 'x', kind, recorded_at, body, hash, journal_hash"
    " FROM event"
)
OVERWRITING = {
    "event": "SELECT position, stream, seq, id, 'forged', recorded_at, body, hash, journal_hash FROM event",
    "event id": "SELECT 9, 'job H-014', 4, id, kind, recorded_at, body, hash, journal_hash FROM event",
    "event place": "SELECT 9, stream, seq, 'x', kind, recorded_at, body, hash, journal_hash FROM event",
    "shop": "SELECT one, lower(hex(randomblob(16))) FROM shop",
    "attachment": "SELECT sha256, size + 1 FROM attachment",
    "attachment_chunk": "SELECT sha256, number, x'00' FROM attachment_chunk",
    "schema_step": "SELECT number, name, 'x' FROM schema_step",
}
CHANGES = [
    *(
        f"UPDATE {table} SET {column} = {column}"
        for table, column in (
            ("event", "body"),
            ("shop", "id"),
            ("attachment", "size"),
            ("attachment_chunk", "content"),
            ("schema_step", "sha256"),
        )
    ),
    *(f"DELETE FROM {table}" for table in ("event", "shop", "attachment", "attachment_chunk", "schema_step")),
    *(
        f"INSERT OR {policy} INTO {table.split()[0]} {values}"
        for policy in ("REPLACE", "IGNORE")
        for table, values in OVERWRITING.items()
    ),
    "REPLACE " + NEXT_EVENT.replace("max(position) + 1", "max(position) + 2"),
    "INSERT " + NEXT_EVENT.replace("4,", "6,"),
    "INSERT INTO event SELECT * FROM event WHERE true ON CONFLICT DO UPDATE SET body = 'x'",
    "UPDATE OR REPLACE event SET seq = 1 WHERE stream = 'job H-014' AND seq = 2",
]


def contents(path: Path) -> list[object]:
    tables = ("event", "shop", "attachment", "attachment_chunk", "schema_step")
    return [plain(path).execute(f"SELECT * FROM {table}").fetchall() for table in tables]


@pytest.mark.parametrize("statement", CHANGES)
@pytest.mark.parametrize("whose", ["the program's connection", "a plain connection"])
def test_the_record_is_only_added_to(shop: Shop, statement: str, whose: str) -> None:
    fill(shop, 3)
    with shop.write() as writing:
        writing.put_attachment(b"chart")
    before = contents(shop.path)
    connection = plain(shop.path) if whose == "a plain connection" else shop._connection
    with pytest.raises(sqlite3.IntegrityError, match=r"record|behind|one id|already"):
        connection.execute(statement)
    assert contents(shop.path) == before
    assert verify_shop(shop.path).ok


def test_text_is_not_taken_for_a_number(shop: Shop) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="cannot store TEXT"):
        shop._connection.execute("INSERT INTO attachment VALUES (?, 'many')", ("0" * 64,))


def strange_files(folder: Path) -> Iterator[tuple[Path, str]]:
    missing = folder / "missing"
    yield missing, "does not exist"
    yield missing / "below", "does not exist"
    yield folder, "is a folder"
    yield folder / ("n" * 300), "cannot be reached"
    for name, content, sentence in (
        ("empty", b"", "is not a shop file"),
        ("text", b"[job]\nnumber = 'H-014'\n" * 100, "is not a shop file"),
        ("zeros", bytes(8192), "is not a shop file"),
    ):
        (folder / name).write_bytes(content)
        yield folder / name, sentence
    loop = folder / "loop"
    loop.symlink_to(loop)
    yield loop, "cannot be reached|does not exist"


@pytest.mark.parametrize("read_only", [False, True])
def test_one_sentence_for_what_is_no_shop_file(tmp_path: Path, read_only: bool) -> None:
    for path, sentence in strange_files(tmp_path):
        before = path.read_bytes() if os.path.isfile(path) else None
        with pytest.raises(TravelerError, match=sentence) as told:
            Shop.open(path, read_only=read_only)
        assert path.name in str(told.value)
        assert "\n" not in str(told.value)
        with pytest.raises(TravelerError, match=sentence):
            verify_shop(path)
        assert before is None or path.read_bytes() == before


def test_another_programs_database_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "parts.db"
    other = plain(path)
    other.execute("PRAGMA journal_mode=WAL")
    other.execute("CREATE TABLE part (name TEXT)")
    with pytest.raises(TravelerError, match="is not a shop file"):
        Shop.open(path)
    assert other.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_a_file_name_that_is_not_text_can_be_printed(tmp_path: Path) -> None:
    with pytest.raises(TravelerError) as told:
        Shop.open(tmp_path / os.fsdecode(b"caf\xe9"))
    str(told.value).encode("utf-8")


def test_a_newer_schema_is_read_but_not_written(shop: Shop) -> None:
    fill(shop, 2)
    newer = plain(shop.path)
    newer.execute("ALTER TABLE board ADD COLUMN urgency TEXT NOT NULL DEFAULT ''")
    newer.execute("PRAGMA user_version=4")
    with pytest.raises(TravelerError, match=r"newer program \(schema 4; this program knows 3\)"):
        Shop.open(shop.path)
    with pytest.raises(TravelerError, match="newer program"):
        verify_shop(shop.path)
    with Shop.open(shop.path, read_only=True) as reader:
        assert len(reader.events(JOB)) == 2


@pytest.mark.parametrize("trigger", [text.split()[2] for text in SCHEMA if text.startswith("CREATE TRIGGER")])
@pytest.mark.parametrize("read_only", [False, True])
def test_a_lost_trigger_is_noticed_on_opening(shop: Shop, trigger: str, read_only: bool) -> None:
    plain(shop.path).execute(f"DROP TRIGGER {trigger}")
    with pytest.raises(TravelerError, match=f"trigger {trigger} is missing"):
        Shop.open(shop.path, read_only=read_only)


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        (
            "CREATE TRIGGER quiet AFTER INSERT ON event BEGIN DELETE FROM board; END",
            "trigger quiet is not ours",
        ),
        ("ALTER TABLE event ADD COLUMN note TEXT", "table event was changed"),
        ("DROP INDEX event_first", "index event_first is missing"),
    ],
)
def test_a_changed_schema_is_noticed_on_opening(shop: Shop, statement: str, sentence: str) -> None:
    plain(shop.path).execute(statement)
    with pytest.raises(TravelerError, match=sentence):
        Shop.open(shop.path)


@pytest.mark.parametrize(
    "alteration",
    [
        "UPDATE event SET body = replace(body, '\"302\"', '\"402\"') WHERE seq = 3",
        "UPDATE event SET hash = zeroblob(32) WHERE seq = 3",
        "UPDATE event SET journal_hash = zeroblob(32) WHERE seq = 3",
        "UPDATE event SET kind = 'job issued' WHERE seq = 3",
        "DELETE FROM event WHERE seq = 2",
        "DELETE FROM event",
        "DELETE FROM shop",
    ],
)
def test_an_altered_end_of_the_log_is_noticed_on_opening(shop: Shop, alteration: str) -> None:
    fill(shop, 3)
    altering = plain(shop.path)
    guards = [text for text in SCHEMA if "_no_" in text.split()[2]]
    for guard in guards:
        altering.execute(f"DROP TRIGGER {guard.split()[2]}")
    altering.execute(alteration)
    for guard in guards:
        altering.execute(guard)
    with pytest.raises(TravelerError, match="altered"):
        Shop.open(shop.path)


SWALLOWS = "CREATE TRIGGER quiet BEFORE INSERT ON event BEGIN SELECT raise(IGNORE); END"


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        (SWALLOWS, "trigger quiet is not ours"),
        ("DROP TRIGGER shop_once", "trigger shop_once is missing"),
        ("CREATE TABLE notes (text)", "table notes is not ours"),
    ],
)
def test_nothing_is_written_once_the_structure_was_changed_under_an_open_file(
    shop: Shop, statement: str, said: str
) -> None:
    """A trigger that swallows rows would let it be said that something is recorded that is not."""
    append(shop, "310")
    before = len(shop.events(JOB))
    with plain(shop.path) as other:
        other.execute(statement)
    for _ in range(2):
        with pytest.raises(
            TravelerError, match=f"while it was open here: {said}; leave, and verify it; nothing was"
        ):
            append(shop, "310")
    assert len(shop.events(JOB)) == before


def test_a_file_that_another_tool_tidied_up_is_written_on(shop: Shop) -> None:
    append(shop, "310")
    with plain(shop.path) as other:
        other.execute("VACUUM")
    append(shop, "310")
    assert verify_shop(shop.path).faults == ()


def test_a_damaged_file_is_said(shop: Shop) -> None:
    fill(shop, 200)
    shop.close()
    content = bytearray(shop.path.read_bytes())
    content[100:4096] = b"\xff" * 3996
    shop.path.write_bytes(content)
    with pytest.raises(TravelerError, match=r"is damaged .*restore it from a backup"):
        Shop.open(shop.path)


def test_damaged_names_of_tables_are_said(shop: Shop) -> None:
    """SQLite quotes them in its error, and they are no text any more."""
    shop.close()
    content = shop.path.read_bytes()
    shop.path.write_bytes(content.replace(b"CREATE TABLE shop", b"CR\xd4ATE TABLE shop"))
    for look in (Shop.open, verify_shop):
        with pytest.raises(TravelerError, match="is damaged"):
            look(shop.path)


def test_a_write_ahead_log_switched_on_by_another_tool_is_switched_off(shop: Shop) -> None:
    shop.close()
    other = plain(shop.path)
    other.execute("PRAGMA journal_mode=WAL")
    other.close()
    with Shop.open(shop.path) as opened:
        assert opened._connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)


def test_a_linked_file_is_one_file(shop: Shop, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(shop.path)
    with Shop.open(link) as opened:
        assert opened.path == shop.path
        append(opened, "300")
    assert len(shop.events(JOB)) == 1


MOUNTS = r"""22 1 254:0 / / rw,relatime - ext4 /dev/vda rw
40 22 0:30 / /srv rw - nfs4 bench:/srv rw
41 40 0:31 / /srv/local\040disk rw shared:5 - xfs /dev/vdb rw
42 22 0:32 / /home rw - ext4 /dev/vdc rw
43 42 0:33 / /home rw - fuse.sshfs user@bench: rw
"""


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("/var/shop.traveler", "ext4"),
        ("/srv/shop.traveler", "nfs4"),
        ("/srv/local disk/shop.traveler", "xfs"),
        ("/srvx/shop.traveler", "ext4"),
        ("/home/a/shop.traveler", "fuse.sshfs"),
    ],
)
def test_the_mount_table_tells_the_file_system(path: str, expected: str) -> None:
    assert mount_type(Path(path), MOUNTS) == expected


@pytest.mark.skipif(sys.platform == "win32", reason="asks the mount table, which Windows does not have")
def test_a_network_file_system_is_refused(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    table = tmp_path / "mountinfo"
    table.write_text("22 1 254:0 / / rw - cifs //bench/shop rw\n")
    monkeypatch.setattr(network, "MOUNT_TABLE", table)
    with pytest.raises(TravelerError, match=r"network file system \(cifs\)"):
        Shop.open(shop.path)
    with pytest.raises(TravelerError, match="network file system"):
        Shop.create(tmp_path / "new" / "shop.traveler")
    assert not (tmp_path / "new").exists()
    # A backup may lie there: it is only read, by one program.
    assert verify_shop(shop.path).ok


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A file system of 512 KiB of its own."""
    folder = tmp_path / "disk"
    folder.mkdir()
    if sys.platform != "linux" or os.geteuid() != 0:
        pytest.skip("only root on Linux can mount a small disk; the page limit below stands in for it")
    mounting = ["mount", "-t", "tmpfs", "-o", "size=512k", "tmpfs", str(folder)]
    if subprocess.run(mounting, capture_output=True, check=False).returncode:
        pytest.skip("no right to mount here; the page limit below stands in for it")
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


def fill_up(folder: Path) -> Path:
    filler = folder / "filler"
    with filler.open("wb", buffering=0) as file, pytest.raises(OSError, match="No space"):
        # A short write at the very end is followed by one that fails.
        deque((file.write(bytes(4096)) for _ in itertools.count()), maxlen=0)
    return filler


def test_a_full_disk_is_said_and_nothing_is_half_written(small_disk: Path) -> None:
    with Shop.create(small_disk / "shop.traveler") as shop:
        fill(shop, 5)
        filler = fill_up(small_disk)
        with pytest.raises(TravelerError, match=r"full.*nothing was written"), shop.write() as writing:
            writing.put_attachment(bytes(100_000))
        with pytest.raises(TravelerError, match=r"full|could not be read or written|cannot be opened"):
            append(shop, "9" * 20_000)
        assert len(shop.events(JOB)) == 5
        with pytest.raises(TravelerError, match=r"full|No space"):
            Shop.create(small_disk / "second.traveler")
        filler.unlink()
        assert append(shop, "310").seq == 6
        assert verify_shop(shop.path).ok
    assert [entry.name for entry in small_disk.iterdir()] == ["shop.traveler"]


def test_a_file_that_may_not_grow_is_said_and_nothing_is_half_written(shop: Shop) -> None:
    (pages,) = shop._connection.execute("PRAGMA page_count").fetchone()
    shop._connection.execute(f"PRAGMA max_page_count={pages + 2}")

    def an_act_with_a_chart() -> None:
        with shop.write() as writing:
            writing.append(JOB, "job issued", BY, NOON, NOON, {})
            writing.put_attachment(bytes(100_000))

    with pytest.raises(TravelerError, match=r"full; nothing was written"):
        an_act_with_a_chart()
    assert shop.events(JOB) == []
    assert append(shop, "300").seq == 1
    assert verify_shop(shop.path).ok


def test_a_read_only_disk_is_said_and_can_still_be_read(small_disk: Path) -> None:
    path = small_disk / "shop.traveler"
    with Shop.create(path) as shop:
        fill(shop, 2)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(TravelerError, match=r"cannot be written: the file or its folder is read-only"):
        Shop.open(path)
    with pytest.raises(TravelerError, match=r"cannot be made: Read-only"):
        Shop.create(small_disk / "second.traveler")
    with pytest.raises(TravelerError, match=r"cannot be made"):
        Shop.create(small_disk / "folder" / "second.traveler")
    with Shop.open(path, read_only=True) as reader:
        assert len(reader.events(JOB)) == 2
    assert verify_shop(path).ok


@pytest.mark.skipif(
    sys.platform == "win32" or os.geteuid() == 0, reason="mode bits do not bind root or Windows"
)
def test_a_read_only_folder_is_said(shop: Shop) -> None:
    shop.path.parent.chmod(0o500)
    try:
        with pytest.raises(TravelerError, match="folder is read-only"):
            Shop.open(shop.path)
    finally:
        shop.path.parent.chmod(0o700)
