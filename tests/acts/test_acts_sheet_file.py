"""A sheet is saved whole as a new file, or not at all; nothing that is there already is touched."""

import errno
import os
from pathlib import Path

import pytest

from traveler.acts.sheet_file import save_sheet
from traveler.errors import BadInput, TravelerError

SHEET = '[job]\nnumber = "B-1"\ntitle = "Bügel, 日本"\n'


def test_a_sheet_is_saved_as_utf_8_under_the_name_given(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    assert save_sheet("~/B-1.toml", SHEET) == tmp_path / "B-1.toml"
    assert (tmp_path / "B-1.toml").read_bytes().decode("utf-8") == SHEET


@pytest.mark.parametrize("link", [False, True])
def test_what_has_the_name_already_stays_as_it_is(tmp_path: Path, link: bool) -> None:
    taken = tmp_path / "taken.toml"
    if link:
        taken.symlink_to(tmp_path / "nowhere.toml")
    else:
        taken.write_text("mine")
    with pytest.raises(BadInput, match="is there already and stays as it is"):
        save_sheet(str(taken), SHEET)
    assert taken.is_symlink() if link else taken.read_text() == "mine"
    assert not (tmp_path / "nowhere.toml").exists()


def test_names_that_cannot_be_used_are_refused_in_words(tmp_path: Path) -> None:
    for name, words in ((" ", "is empty"), (str(tmp_path), "is a folder")):
        with pytest.raises(BadInput, match=words):
            save_sheet(name, SHEET)
    for name in (str(tmp_path / "no" / "such.toml"), "a\0b", str(tmp_path / ("x" * 300))):
        with pytest.raises(TravelerError, match="cannot be written"):
            save_sheet(name, SHEET)


def test_a_full_disk_leaves_no_half_of_a_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(TravelerError, match="No space left on device"):
        save_sheet(str(tmp_path / "B-1.toml"), SHEET)
    assert list(tmp_path.iterdir()) == []
