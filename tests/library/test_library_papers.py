"""What vendors are usually asked for: every list is said on the page of the job sheet, and a bad file is refused."""

from pathlib import Path

import pytest

from traveler.errors import TravelerError
from traveler.library.load import load_library
from traveler.library.papers import read_papers
from traveler.library.reading import table_of

PAGE = Path(__file__).parents[2] / "docs" / "job-sheet.md"


def test_the_page_of_the_job_sheet_names_every_paper() -> None:
    said = " ".join(PAGE.read_text(encoding="utf-8").replace("the ", "").split())
    papers = {paper for asks in load_library().papers.values() for paper in asks}
    assert [paper for paper in sorted(papers) if paper.replace("the ", "") not in said] == []


def test_a_kind_that_has_no_list_of_its_own_has_that_of_any() -> None:
    library = load_library()
    assert library.usual_papers("assemble") == library.papers["any"]
    assert library.usual_papers("cut") == library.papers["cut"] != library.papers["any"]


ENTRY = '[[papers]]\nkind = "cut"\nsource = "practice"\n'


@pytest.mark.parametrize(
    ("papers", "said"),
    [
        (f'{ENTRY}asks = ["a"]\n' * 2, "expected each kind once, with a paper at least"),
        (f"{ENTRY}asks = []\n", "expected each kind once, with a paper at least"),
        (f'{ENTRY}asks = "a"\n', "expected a list of texts"),
        (f'{ENTRY}asks = ["a"]\nprice = 3\n', "unknown key 'price'"),
    ],
)
def test_a_wrong_file_is_refused_by_its_place(papers: str, said: str) -> None:
    source = '[source.practice]\nmark = "common practice, no published source"\n'
    with pytest.raises(TravelerError, match=said):
        read_papers(table_of("papers.toml", source + papers))
