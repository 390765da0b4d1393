"""A sheet written out reads as the same sheet, to the last digit."""

import tomllib
from decimal import Decimal
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.job.sheet_rewrite import write_sheet
from traveler.job.sheet_toml import parse_toml

SHEETS = sorted(
    (item for item in files("traveler.demo").joinpath("sheets").iterdir() if item.name.endswith(".toml")),
    key=lambda item: item.name,
)
TEXT = st.text(st.characters(codec="utf-8"), max_size=20)
KEYS = st.text(st.characters(codec="utf-8", exclude_characters="\n"), min_size=1, max_size=8)
NUMBERS = st.decimals(allow_nan=False, allow_infinity=False, places=6) | st.integers(-(2**62), 2**62)
VALUES = st.recursive(
    TEXT | NUMBERS | st.booleans(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=8,
)
TABLE = st.dictionaries(KEYS, VALUES, max_size=4)


@pytest.mark.parametrize("item", SHEETS, ids=lambda item: item.name)
def test_the_sheets_of_the_demo_shop(item):
    tables = parse_toml(item.read_text(encoding="utf-8"))
    again = write_sheet(tables, ["a line", "another\nwith [[job]] in it"], {("joint", 0): ['x = "1"']})
    assert parse_toml(again) == tables
    assert str(parse_toml(again)["material"]) == str(tables["material"])  # 0.30 stays 0.30


@given(
    st.dictionaries(KEYS, TABLE | st.lists(TABLE, min_size=1, max_size=3), max_size=4),
    st.lists(TEXT, max_size=3),
)
def test_whatever_a_table_holds(tables, head):
    written = write_sheet(tables, head)
    assert tomllib.loads(written, parse_float=Decimal) == tables
