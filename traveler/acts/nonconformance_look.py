"""Look at the nonconformances of all jobs of the shop."""

from datetime import datetime
from typing import Any

from traveler.acts.change import load_job
from traveler.job.fold_nonconformance import OPENED
from traveler.job.view import job_state_word
from traveler.job.view_trust import nonconformance_object
from traveler.record.shop import Shop

Json = dict[str, Any]


def look_at_nonconformances(shop: Shop) -> list[Json]:
    """Each with its ``job``, ``title`` and ``job_state``: first those not closed yet, in both parts the latest.

    One that came along by a split stands under the job in which it was opened.
    """
    found: list[tuple[bool, Json]] = []
    for number in shop.jobs_with(OPENED):
        state = load_job(shop, number)
        job = {"job": number, "title": state.plan.title, "job_state": job_state_word(state)}
        along = state.batch.parent.nonconformances if state.batch.parent else 0
        own = state.nonconformances[along:]
        found += [(entry.is_open, {**job, **nonconformance_object(entry)}) for entry in own]
    found.sort(key=lambda entry: (entry[0], datetime.fromisoformat(entry[1]["recorded_at"])), reverse=True)
    return [entry for _, entry in found]
