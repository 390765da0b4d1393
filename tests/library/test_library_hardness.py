"""The file of hardness conversions: read as it stands, refused where its rows contradict each other."""

from typing import get_args

import pytest

from traveler.errors import TravelerError
from traveler.library.hardness import load_hardness_rows, read_hardness_rows
from traveler.library.reading import table_of
from traveler.metals.outcome import Mark

FILE = """
[source.book]
title = "a table"
mark = "memory"
[[table]]
name = "rows"
source = "book"
rows = [{ hrc = 20, hv = 238, hb = 226 }, { hrc = 22, hv = 248, hb = 237 }]
"""


def test_every_row_has_a_source_and_the_ends_are_those_of_the_scale() -> None:
    rows = load_hardness_rows()
    assert (rows[0].hrc, rows[0].hv) == (20, 238)
    assert (rows[-1].hrc, rows[-1].hv) == (68, 940)
    assert all(row.source.mark in get_args(Mark) and row.source.title for row in rows)


def test_rows_are_sorted() -> None:
    assert [row.hrc for row in read_hardness_rows(table_of("e140.toml", FILE))] == [20, 22]


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        ("hv = 248", "hv = 230", "rows that rise in every scale"),
        ("hrc = 22", "hrc = 20", "rows that rise in every scale"),
        ("hb = 237", "hb = 200", "rows that rise in every scale"),
        ("hv = 248, ", "", "rows 1: hv is missing"),
        ("hv = 248", "vickers = 248", "rows 1: hv is missing"),
        ("hrc = 20, ", "hrc = -20, ", "hrc: read -20, expected a number that is not negative"),
    ],
)
def test_a_file_that_contradicts_itself_is_refused(right: str, wrong: str, message: str) -> None:
    with pytest.raises(TravelerError, match=message):
        read_hardness_rows(table_of("e140.toml", FILE.replace(right, wrong, 1)))
