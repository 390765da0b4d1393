"""What was half typed: one private file a session, taken over only from sessions that are no more."""

import json
import os
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest

from traveler.record.unfinished import KEPT_DAYS, LARGEST, UnfinishedFile

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no lock that ends with its program")

SHOP = "0" * 32
HOLDING = (
    "import sys; from traveler.record.unfinished import UnfinishedFile; "
    f"file = UnfinishedFile('{SHOP}'); file.keep({{'by': sys.argv[1]}}); print('kept', flush=True); sys.stdin.read()"
)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the files of the shop are kept."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    return tmp_path / "traveler" / "unfinished" / SHOP


def session(by: str) -> "subprocess.Popen[str]":
    """Another program that keeps something and waits."""
    process = subprocess.Popen(
        [sys.executable, "-c", HOLDING, by], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    assert process.stdout.readline() == "kept\n"
    return process


def taken_over() -> list[dict[str, object]]:
    """What a session that starts now takes over."""
    file = UnfinishedFile(SHOP)
    found = file.take_over(lambda content: True)
    file.forget_taken()
    return found


def test_the_file_is_its_owners_alone_and_goes_when_nothing_waits(folder: Path) -> None:
    file = UnfinishedFile(SHOP)
    assert file.keep({"by": "Ida"})
    modes = {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()}
    assert modes == {0o600}
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert file.keep(None)
    assert list(folder.iterdir()) == []


def test_a_killed_session_leaves_it_behind_and_one_at_work_does_not(folder: Path) -> None:
    killed, at_work = session("killed"), session("at work")
    killed.kill()
    killed.communicate()
    assert taken_over() == [{"by": "killed"}]
    assert taken_over() == []
    at_work.communicate("")
    assert taken_over() == [{"by": "at work"}]
    assert list(folder.iterdir()) == []


def test_what_is_not_wanted_stays_for_whom_it_is(folder: Path) -> None:
    session("Ida").communicate("")
    session("Otto").communicate("")
    file = UnfinishedFile(SHOP)
    assert file.take_over(lambda content: content["by"] == "Otto") == [{"by": "Otto"}]
    file.forget_taken()
    assert taken_over() == [{"by": "Ida"}]


def test_until_it_is_forgotten_it_stays_where_it_is(folder: Path) -> None:
    session("Ida").communicate("")
    first = UnfinishedFile(SHOP)
    assert first.take_over(lambda content: True) == [{"by": "Ida"}]
    assert len(list(folder.glob("*.json"))) == 1
    # It is held meanwhile, so that two programs started at once do not both take it.
    assert UnfinishedFile(SHOP).take_over(lambda content: True) == []


def test_too_much_is_refused_and_what_was_kept_before_stays(folder: Path) -> None:
    file = UnfinishedFile(SHOP)
    file.keep({"by": "Ida"})
    with pytest.raises(ValueError, match="more than"):
        file.keep({"by": "x" * LARGEST})
    (kept,) = folder.glob("*.json")
    assert json.loads(kept.read_bytes()) == {"by": "Ida"}


def test_what_is_too_old_goes(folder: Path) -> None:
    session("Ida").communicate("")
    (kept,) = folder.glob("*.json")
    day = time.time() - (KEPT_DAYS + 1) * 86_400
    os.utime(kept, (day, day))
    assert taken_over() == []
    assert list(folder.iterdir()) == []


def test_what_is_too_old_of_another_shop_goes_too_and_what_is_not_stays(folder: Path) -> None:
    session("Ida").communicate("")
    other = folder.parent / ("1" * 32)
    folder.rename(other)
    (kept,) = other.glob("*.json")
    assert taken_over() == []
    assert kept.exists()
    day = time.time() - (KEPT_DAYS + 1) * 86_400
    os.utime(kept, (day, day))
    assert taken_over() == []
    assert not other.exists()


@pytest.mark.parametrize("text", [b"", b"{", b"[]", b"\xff", b"{}" + b" " * LARGEST])
def test_a_file_that_says_nothing_stops_nobody(folder: Path, text: bytes) -> None:
    session("Ida").communicate("")
    (kept,) = folder.glob("*.json")
    kept.write_bytes(text)
    session("Otto").communicate("")
    file = UnfinishedFile(SHOP)
    assert {"by": "Otto"} in file.take_over(lambda content: bool(content))


def test_a_folder_that_cannot_be_written_is_no_trouble(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    file = UnfinishedFile(SHOP)
    assert file.take_over(lambda content: True) == []
    assert not file.keep({"by": "Ida"})
    assert not file.works
