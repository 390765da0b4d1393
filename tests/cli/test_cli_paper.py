"""``traveler paper`` as it is typed, and the parts of ``export`` that it shares."""

from pathlib import Path

import pytest
from cli_kit import Commands, refused


@pytest.mark.parametrize("kind", ["blank", "tag", "label"])
def test_paper_is_written(issued: Commands, tmp_path: Path, kind: str) -> None:
    target = tmp_path / "out.pdf"
    answer = issued("paper", "B-101", "--as", kind, "-o", target)
    assert (answer.status, answer.err) == (0, "")
    raw = target.read_bytes()
    assert raw.startswith(b"%PDF-")


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--as", "label", "--step", 30), "--step belongs to --as blank"),
        (("--as", "label", "--temperature", "450 F"), "--temperature belongs to --as tag"),
        (("--as", "blank", "--time", "2026-03-02T10:00"), "--time belongs to --as tag"),
        (("--as", "tag", "--temperature", "hot"), "--temperature: hot"),
        (("--as", "tag", "--time", "2026-03-02"), "expected a time such as"),
        (("--as", "blank", "--step", 31), "--step 31: job B-101 has the steps"),
    ],
)
def test_what_does_not_go_together_is_refused(
    issued: Commands, tmp_path: Path, arguments: tuple[object, ...], said: str
) -> None:
    target = tmp_path / "out.pdf"
    assert said in refused(issued("paper", "B-101", *arguments, "-o", target))
    assert not target.exists()


def test_a_sign_that_no_font_draws_is_refused_by_name_and_nothing_is_written(
    traveler: Commands, sheet: Path, tmp_path: Path
) -> None:
    sheet.write_text(sheet.read_text(encoding="utf-8").replace("Wishbone", "試"), encoding="utf-8")
    assert traveler("new", sheet).status == 0
    target = tmp_path / "out.pdf"
    for kind in ("blank", "tag", "label"):
        said = refused(traveler("paper", "B-101", "--as", kind, "-o", target))
        assert "cannot draw U+8A66 試 in title" in said
    assert not target.exists()


def test_the_shops_file_is_never_overwritten(issued: Commands) -> None:
    before = issued.shop.read_bytes()
    assert "the shop's file itself" in refused(issued("paper", "B-101", "--as", "label", "-o", issued.shop))
    assert issued.shop.read_bytes() == before
