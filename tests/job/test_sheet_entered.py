"""A sheet that was read comes back out of the pages as it was, with what no page asks for."""

from importlib.resources import files

import pytest

from traveler.job.sheet_entered import carried, entered_of, settled
from traveler.job.sheet_pages import pages_of
from traveler.job.sheet_toml import parse_toml
from traveler.job.sheet_write import write_sheet

DEMO = [
    file.read_text("utf-8") for file in sorted(files("traveler.demo").joinpath("sheets").iterdir(), key=str)
]
FULL = """
[job]
number = "A-102"
title = "Link \\"tab\\", invented"
units = "metric"
decides = "engineer"
self_inspection = true
made_from = "A-101"

[[material]]
id = "tab"
grade = "4130"
condition = "annealed"
certificate = "3.1"
composition = { C = 0.290, Mn = 0.5, Nb = 0.00001 }

[[filler]]
id = "rod"
classification = "ER70S-2"

[[joint]]
id = "J1"
type = "butt"
process = "141"
filler = "rod"
volts = 12
amps = "150 A"
travel = "90 mm/min"
preheat = { at_least = "310 F", by = "Ada Lund", because = "a coupon [7]" }
member = [ { material = "tab", form = "plate", thickness = "5 mm" },
           { material = "tab", form = "plate", thickness = "1/4 in" } ]

[site]
temperature = "3 C"
damp = true

[[dimension]]
id = "D1"
title = "hole to edge"
nominal = "38.12 mm"
tolerance = "0.3 mm"
as_built = "38.12 mm at the inspection of A-101"

[[step]]
number = 10
kind = "cut"

[[step]]
number = 40
kind = "weld"
joint = "J1"
hold = ["owner"]
witness = ["customer"]
notice = "24 h"

[[step]]
number = 90
kind = "inspect"
"""


@pytest.mark.parametrize("sheet", [*DEMO, FULL])
def test_a_sheet_comes_back_with_every_value_as_it_was(sheet: str) -> None:
    root = parse_toml(sheet)
    assert parse_toml(write_sheet(entered_of(root))) == root


def test_more_than_ten_steps_stay_in_their_order() -> None:
    steps = "".join(f'\n[[step]]\nnumber = {number}\nkind = "cut"\n' for number in range(1, 14))
    root = parse_toml(FULL.split("[[step]]")[0] + steps)
    assert parse_toml(write_sheet(entered_of(root))) == root


def test_what_no_page_asks_for_is_told_on_its_page() -> None:
    entered = entered_of(parse_toml(FULL))
    assert [key for key, _ in carried(entered, "joint[0]")] == ["volts", "amps", "travel", "preheat"]
    assert [page for page in pages_of(entered) if carried(entered, page)] == ["joint[0]"]


def test_an_arc_energy_takes_the_place_of_its_parts() -> None:
    entered = {**entered_of(parse_toml(FULL)), "joint[0].arc_energy": "1.0 kJ/mm"}
    (joint,) = parse_toml(write_sheet(settled(entered)))["joint"]
    assert "volts" not in joint
    assert joint["arc_energy"] == "1.0 kJ/mm"
    assert "preheat" in joint
    without = entered_of(parse_toml(FULL))
    assert settled(without) == without
