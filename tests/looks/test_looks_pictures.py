"""The pictures of docs show the app as it is, are small, and tell nothing of the machine they were made on."""

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from looks_kit import shots
from pictures import DOCS, SIZE, pictures

ROOT = Path(__file__).parents[2]
MOST_BYTES = 20_000


@pytest.mark.slow
def test_the_pictures_are_those_that_the_script_makes(pytestconfig: pytest.Config) -> None:
    for name, drawn in pictures().items():
        if pytestconfig.getoption("regold"):
            (DOCS / name).write_text(drawn, encoding="utf-8")
        assert (DOCS / name).read_text(encoding="utf-8") == drawn, name


@pytest.mark.slow
def test_a_picture_holds_the_words_of_its_screen() -> None:
    for name, drawn in pictures().items():
        words = "".join(ElementTree.fromstring(drawn).itertext()).split()
        assert "".join(words) == "".join(shots(SIZE)[name.removesuffix(".svg")].text.split())


def test_every_picture_is_shown_small_and_of_no_machine() -> None:
    pages = "".join(page.read_text("utf-8") for page in (ROOT / "README.md", *DOCS.glob("*.md")))
    for file in DOCS.glob("*.svg"):
        drawn = file.read_text("utf-8")
        assert len(drawn) <= MOST_BYTES
        assert re.search(rf"!\[[^\]]+\]\((docs/)?{file.name}\)", pages), file.name
        assert not re.search(r"/(home|root|tmp|Users|var)/|url\(|href", drawn)
        assert str(ROOT) not in drawn
