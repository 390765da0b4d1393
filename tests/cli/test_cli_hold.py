"""Holds and witness points by command: listed, released, waived, notified, witnessed."""

from pathlib import Path

import pytest
from cli_kit import SHEET, Answer, Commands, refused

STEPS = """
[[step]]
number = 10
kind = "fit"
joint = "J1"

[[step]]
number = 20
kind = "preheat"
joint = "J1"
hold = ["customer"]
witness = ["engineer"]
notice = "24 h"

[[step]]
number = 30
kind = "weld"
joint = "J1"
"""


@pytest.fixture
def held(traveler: Commands, sheet: Path) -> Commands:
    """Commands on a shop whose job waits for its customer at step 20."""
    sheet.write_text(SHEET + STEPS, encoding="utf-8")
    traveler("new", sheet)
    return traveler


def states(answer: Answer) -> list[tuple[int, int, str]]:
    assert answer.status == 0
    return [(point["step"], point["point"], point["state"]) for point in answer.json]


def test_points_are_listed_where_they_stand(held: Commands) -> None:
    assert states(held("hold", "list", "B-101", "--json")) == [(20, 1, "open"), (20, 2, "open")]
    text = held("hold", "list", "B-101").out
    assert "STEP 20, preheat" in text
    assert "Hold 1 (customer): not released" in text
    assert "Witness 2 (engineer): not notified and witnessed" in text


def test_a_plan_names_them(held: Commands, sheet: Path) -> None:
    assert "  Hold 1 (customer)\n  Witness 2 (engineer), notice 24 h\n" in held("plan", sheet).out


def test_a_hold_is_released_and_a_witness_point_settled(held: Commands) -> None:
    released = held("hold", "release", "B-101", 20, "--by", "Carl Kunde")
    assert (released.status, released.out) == (0, "step 20: hold 1 (customer) is released by Carl Kunde\n")
    assert held("hold", "notify", "B-101", 20, "--by", "Wim").status == 0
    assert held("hold", "attend", "B-101", 20, "--by", "Eva Lindqvist").status == 0
    assert states(held("hold", "list", "B-101", "--json")) == [(20, 1, "released"), (20, 2, "attended")]
    assert "attended by Eva Lindqvist" in held("show", "B-101").out


def test_the_work_behind_a_hold_is_recorded_and_not_accepted(held: Commands) -> None:
    recorded = held("record", "B-101", 30, "welder", "Wim")
    assert recorded.status == 0
    for step in (10, 20, 30):
        held("sign", "B-101", step, "--as", "performed", "--by", "Wim")
    accepted = held("sign", "B-101", 30, "--as", "accepted", "--by", "Ines")
    assert accepted.status == 1
    assert "step 10 comes first" in accepted.out
    waiting = held("sign", "B-101", 20, "--as", "accepted", "--by", "Ines")
    assert "hold 1 (customer) is not released" in waiting.out


def test_a_waiver_takes_a_reason_and_says_so_on_the_first_page(held: Commands) -> None:
    assert "missing option '--because'" in refused(held("hold", "waive", "B-101", 20, "--by", "Carl"))
    waived = held("hold", "waive", "B-101", 20, "--point", 1, "--because", "saw photos", "--by", "Carl")
    assert waived.status == 0
    text = held("export", "B-101", "--format", "text", "-o", "-").out
    assert "hold 1 (customer) was waived by Carl: saw photos" in " ".join(text.split())


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("waive", "B-101", 20, "--because", "x"), "step 20 has several points; say which: hold 1 (customer)"),
        (("release", "B-101", 30), "step 30 has no hold or witness point"),
        (("release", "B-101", 20, "--point", 7), "step 20 has no point 7"),
        (("attend", "B-1", 20), 'there is no job "B-1" in this shop'),
        (("notify", "B-101", 20, "--at", "noon"), '"noon" is no time'),
    ],
)  # fmt: skip
def test_what_cannot_be_done_says_so(held: Commands, arguments: tuple[object, ...], said: str) -> None:
    assert said in refused(held("hold", *arguments, "--by", "Carl"))


def test_what_is_refused_is_status_1(held: Commands) -> None:
    answer = held("hold", "release", "B-101", 20, "--point", 2, "--by", "Eva")
    assert answer.status == 1
    assert "step 20: no point is released" in answer.out
    stale = held("hold", "release", "B-101", 20, "--content", "AAAA", "--by", "Carl")
    assert stale.status == 1
    assert "stale" in stale.out


def test_a_job_without_points_says_so(issued: Commands) -> None:
    assert issued("hold", "list", "B-101").out == "No step has a hold or witness point.\n"
    assert issued("hold", "list", "B-101", "--json").json == []
