"""What this account saw last of a shop: an older copy in its place is said, and nothing else is."""

import json
import os
import stat
import sys
from pathlib import Path

import pytest
from record_kit import BY, JOB, NOON, append, fill, finish, plain, start

from traveler.record import seen
from traveler.record.backup import backup, restore
from traveler.record.place import seen_folder
from traveler.record.shop import Shop
from traveler.record.verify import verify_shop


@pytest.fixture(autouse=True)
def state(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for a program's state of this test's own."""
    folder = tmp_path_factory.mktemp("state")
    monkeypatch.setenv("XDG_STATE_HOME", str(folder))
    monkeypatch.setenv("LOCALAPPDATA", str(folder))
    monkeypatch.setenv("HOME", str(folder))
    return folder


def warning(path: Path, *, read_only: bool = False) -> str:
    with Shop.open(path, read_only=read_only) as shop:
        return shop.warning


def copied(path: Path, name: str) -> Path:
    """A copy of a file that nobody has open."""
    target = path.with_name(name)
    target.write_bytes(path.read_bytes())
    return target


def memory(shop: Shop) -> Path:
    return seen_folder(os.environ) / f"{shop.shop_id}.json"


def test_a_file_that_only_grows_is_never_remarked_on(shop: Shop) -> None:
    for _ in range(3):
        fill(shop, 2)
        assert shop.warning == ""
        assert warning(shop.path) == warning(shop.path, read_only=True) == ""
    assert json.loads(memory(shop).read_text())["events"] == 7


@pytest.mark.parametrize("read_only", [False, True])
def test_an_older_copy_in_its_place_is_said_each_time(shop: Shop, read_only: bool) -> None:
    fill(shop, 3)
    older = copied(shop.path, "older")
    fill(shop, 4)
    shop.close()
    os.replace(older, shop.path)
    for _ in range(2):
        said = warning(shop.path, read_only=read_only)
        assert said.startswith("this shop file has 4 events, the one seen here on 20")
        assert "had 8: was an older copy put in its place" in said
        assert said.endswith(f"remove {memory(shop)}.")
    memory(shop).unlink()
    assert warning(shop.path) == ""
    assert warning(shop.path) == ""


def test_a_cut_end_is_said(shop: Shop) -> None:
    fill(shop, 5)
    shop.close()
    altering = plain(shop.path)
    altering.execute("DROP TRIGGER event_no_delete")
    altering.execute("DELETE FROM event WHERE position = 6")
    altering.execute(
        "CREATE TRIGGER event_no_delete BEFORE DELETE ON event\n"
        "BEGIN SELECT raise(ABORT, 'nothing is taken out of the record: table event'); END"
    )
    altering.close()
    assert verify_shop(shop.path).ok
    assert "has 5 events" in warning(shop.path)


def test_an_older_copy_that_was_carried_on_is_said_however_long_it_grows(shop: Shop) -> None:
    fill(shop, 2)
    older = copied(shop.path, "older")
    fill(shop, 2)
    shop.close()
    os.replace(older, shop.path)
    with Shop.open(shop.path) as other:
        append(other, "1")
        assert "has 4 events" in other.warning
        append(other, "2")
        assert other.warning.startswith("event 5 of this shop file is not the one seen here on 20")
        fill(other, 5)
    assert warning(shop.path).startswith("event 5 of this shop file")


def test_a_restored_file_is_no_cause_for_alarm(shop: Shop, tmp_path: Path) -> None:
    fill(shop, 2)
    backup(shop, tmp_path / "copy", BY, NOON)
    fill(shop, 5)
    shop.close()
    shop.path.rename(tmp_path / "aside")
    restore(tmp_path / "copy", shop.path, BY, NOON)
    assert warning(shop.path) == ""
    with Shop.open(shop.path) as restored:
        append(restored, "1")
        assert restored.warning == ""
    # The file that was moved aside is now the one that is not known.
    assert "not the one seen here" in warning(tmp_path / "aside")
    assert warning(shop.path) == ""


def test_another_account_learns_of_a_restoration_from_the_file(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, state: Path
) -> None:
    fill(shop, 2)
    backup(shop, tmp_path / "copy", BY, NOON)
    fill(shop, 5)
    shop.close()
    shop.path.rename(tmp_path / "aside")
    monkeypatch.setenv("XDG_STATE_HOME", str(state / "other"))
    restore(tmp_path / "copy", shop.path, BY, NOON)
    monkeypatch.setenv("XDG_STATE_HOME", str(state))
    assert warning(shop.path) == ""
    # The same restoration explains nothing a second time.
    with Shop.open(shop.path) as opened:
        fill(opened, 3)
    restored = copied(shop.path, "restored")
    with Shop.open(shop.path) as opened:
        fill(opened, 1)
    os.replace(restored, shop.path)
    assert "has 7 events, the one seen here" in warning(shop.path)


def test_an_earlier_restoration_explains_nothing_later(shop: Shop, tmp_path: Path) -> None:
    """A file restored twice, and then replaced by a copy from between: that copy holds a restoration, an old one."""
    for number in (1, 2):
        backup(shop, tmp_path / f"copy{number}", BY, NOON)
        shop.close()
        shop.path.rename(tmp_path / f"aside{number}")
        restore(tmp_path / f"copy{number}", shop.path, BY, NOON)
        shop = Shop.open(shop.path)
        fill(shop, 2)
        if number == 1:
            between = copied(shop.path, "between")
    fill(shop, 5)
    shop.close()
    os.replace(between, shop.path)
    assert warning(shop.path) != ""


def test_another_copy_elsewhere_disturbs_nothing(shop: Shop, tmp_path: Path) -> None:
    fill(shop, 2)
    backup(shop, tmp_path / "copy", BY, NOON)
    fill(shop, 2)
    assert "has 3 events, the one seen here" in warning(tmp_path / "copy", read_only=True)
    assert warning(shop.path) == ""


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b'{"events": 3}',
        b'{"events": "many", "head": "", "file": "", "at": "", "restored": []}',
        b'{"events": 99999999999999999999999, "head": "", "file": "", "at": "", "restored": []}',
        b"\xff\xfe",
        b"1" * 5000,
    ],
)
def test_a_memory_that_cannot_be_read_is_no_memory(shop: Shop, content: bytes) -> None:
    memory(shop).write_bytes(content)
    append(shop, "300")
    assert shop.warning == ""
    assert json.loads(memory(shop).read_text())["events"] == 2


@pytest.mark.parametrize("kind", ["a file in the way", "a folder in the way", "no home"])
def test_a_memory_that_cannot_be_written_is_no_error(
    tmp_path: Path, state: Path, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    if kind == "a file in the way":
        (state / "traveler").write_text("mine")
    elif kind == "no home":
        monkeypatch.delenv("XDG_STATE_HOME")
        monkeypatch.setenv("HOME", "/dev/null")
    with Shop.create(tmp_path / "shop") as shop:
        if kind == "a folder in the way":
            memory(shop).unlink()
            memory(shop).mkdir()
        fill(shop, 2)
        assert shop.warning == ""
    assert warning(tmp_path / "shop") == ""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no mode bits")
def test_the_folder_is_for_its_owner_only(shop: Shop) -> None:
    assert stat.S_IMODE(memory(shop).parent.stat().st_mode) == 0o700


def test_an_id_that_is_none_names_no_file_elsewhere(shop: Shop, state: Path) -> None:
    before = sorted(state.rglob("*"))
    assert seen.look(shop._connection, "../../../../../tmp/some/where", shop.path) == ""
    assert sorted(state.rglob("*")) == before


def test_shops_whose_file_is_gone_are_forgotten_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(seen, "MOST_SHOPS", 3)
    with Shop.create(tmp_path / "kept") as kept:
        pass
    for number in range(6):
        with Shop.create(tmp_path / f"gone {number}") as gone:
            os.utime(memory(kept), (number, number))
        gone.path.unlink()
    memories = list(seen_folder(os.environ).glob("*"))
    assert len(memories) == 3
    assert memory(kept) in memories
    assert memory(gone) in memories


@pytest.mark.slow
def test_programs_at_once_raise_no_false_alarm(shop: Shop) -> None:
    script = (
        "import sys\nfrom pathlib import Path\nfrom record_kit import append\n"
        "from traveler.record.shop import Shop\n"
        "for number in range(25):\n"
        "    with Shop.open(Path(sys.argv[1])) as shop:\n"
        "        print(shop.warning, end='')\n"
        "        append(shop, str(number), 'job ' + sys.argv[2])\n"
        "        print(shop.warning, end='')\n"
    )
    children = [start(script, shop.path, f"H-{number}") for number in range(4)]
    assert [finish(child) for child in children] == [""] * 4
    assert warning(shop.path) == ""
    assert verify_shop(shop.path).events == 101
    assert shop.events(JOB) == []
