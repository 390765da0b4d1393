"""A plan frozen in an event is the plan that was made, and no float is in it."""

import json
from pathlib import Path
from typing import Any

import pytest
from acts_kit import sheet

from traveler.acts.issue import plan_sheet
from traveler.job.plan_json import plan_from_act, plan_to_act
from traveler.record.chain import canonical

SHEETS = sorted((Path(__file__).parents[2] / "fixtures" / "sheets").glob("*.toml"))


def kinds(value: Any) -> set[type]:
    if isinstance(value, dict):
        return {kind for item in value.values() for kind in kinds(item)}
    if isinstance(value, list):
        return {kind for item in value for kind in kinds(item)}
    return {type(value)}


@pytest.mark.parametrize("raw", [*(path.read_bytes() for path in SHEETS), sheet(), sheet("3/8 in")])
def test_frozen_and_back(raw: bytes) -> None:
    plan = plan_sheet(raw)
    act = plan_to_act(plan)
    assert kinds(act) <= {str, int, bool, type(None)}
    assert plan_from_act(json.loads(json.dumps(act))) == plan
    # As an event's body writes it, keys sorted and text composed.
    assert plan_from_act(json.loads(canonical(act))) == plan


def test_there_are_sheets_to_try() -> None:
    assert len(SHEETS) >= 6
