"""The first event of a job that is split off: the same traveler, for fewer pieces, and what was done before."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from traveler import __version__
from traveler.job.balance import standing
from traveler.job.fold_pieces import standing_to_act
from traveler.job.plan_json import plan_to_act
from traveler.job.sheet_rewrite import write_sheet
from traveler.job.sheet_toml import parse_toml
from traveler.job.state import JobState
from traveler.record.shop import StoredEvent

Act = Mapping[str, Any]


def child_act(parent: JobState, history: list[StoredEvent], shop_id: str, split: Act) -> dict[str, Any]:
    """``split``: the act by which the pieces left the parent; ``history``: the parent's events before it."""
    revision, serials = parent.revisions[-1], tuple(split["serials"])
    plan = replace(parent.plan, number=split["job"], quantity=split["pieces"], serials=serials)
    return {
        "shop": shop_id,
        "revision": revision.number,
        "because": f"split off from {parent.plan.number}: {split['because']}",
        "program": __version__,
        "shop_name": revision.shop_name,
        "decision_rule": revision.decision_rule,
        "sheet": _sheet(revision.sheet, split),
        "plan": plan_to_act(plan),
        **({"made_from": dict(revision.made_from)} if revision.made_from else {}),
        "split_from": {
            "job": parent.plan.number,
            "revision": revision.number,
            "code": parent.head,
            "events": parent.events,
            "pieces": split["pieces"],
            "serials": list(serials),
            "because": split["because"],
            "standing": standing_to_act(standing(parent)),
            "history": [event.data for event in history],
        },
    }


def _sheet(text: str, split: Act) -> str:
    """The sheet with the number, quantity and serials of the pieces that were split off."""
    root = parse_toml(text)
    of_parent = {key: value for key, value in root["job"].items() if key not in ("quantity", "serials")}
    pieces = {
        "quantity": split["pieces"],
        **({"serials": list(split["serials"])} if split["serials"] else {}),
    }
    return write_sheet({**root, "job": {**of_parent, "number": split["job"], **pieces}})
