"""Which job a new one is made from, as it stands in the shop when the new one is issued."""

from collections.abc import Mapping
from typing import Any

from traveler.acts.change import state_of, stream_of
from traveler.job.requirement import Plan
from traveler.record.shop import Writing


def made_from(plan: Plan, writing: Writing, before: Mapping[str, Any] | None) -> dict[str, Any] | None:
    """``job``, ``revision`` and ``code`` of the job that the sheet names; the last two null where the shop lacks it.

    ``before``: what an earlier revision kept. Of the same job it stays, since that is what the part was made from.
    """
    if plan.made_from is None:
        return None
    if before is not None and before["job"] == plan.made_from:
        return dict(before)
    events = writing.events(stream_of(plan.made_from))
    if not events:
        return {"job": plan.made_from, "revision": None, "code": None}
    state = state_of(events)
    return {"job": plan.made_from, "revision": state.revision, "code": state.head}
