"""The pieces of a job as JSON: nothing at all for a single piece that came from nowhere and went nowhere."""

from typing import Any

from traveler.job.balance import balance, held_by, is_batch, serials_here
from traveler.job.pieces import CameFrom, Component, Gone
from traveler.job.state import JobState
from traveler.job.view_trust import who_when

Json = dict[str, Any]


def pieces_objects(state: JobState) -> Json:
    """``pieces``: how many, where they are and went, their serials, what they came from and are made of."""
    if not is_batch(state):
        return {}
    found, batch = balance(state), state.batch
    return {
        "pieces": {
            "in": found.came,
            "here": found.here,
            "accepted": found.here if found.closed else 0,
            "rejected": found.rejected,
            "lost": found.lost,
            "split_off": found.split_off,
            "used": batch.used,
            "balance": found.words,
            "serials": list(serials_here(state)),
            "gone": [_gone(gone) for gone in batch.gone],
            "used_in": [
                {
                    "job": use.job,
                    "step": use.step,
                    "pieces": use.pieces,
                    "serials": list(use.serials),
                    **who_when(use.by, use.moment),
                }
                for use in batch.uses
            ],
            "came_from": [_came_from(state, origin) for origin in batch.came_from],
            "components": [_component(part) for part in batch.components],
            "held_by": list(held_by(state)),
        }
    }


def inherited_from(state: JobState, seq: int) -> Json:
    """Where a signature or reading was made that came along from another job; nothing for the job's own."""
    if seq > state.batch.before:
        return {}
    origin = next(origin for origin in state.batch.came_from if seq <= origin.last)
    return {"from": {"job": origin.job, "event": seq - origin.first + 1, "code": origin.code}}


def _gone(gone: Gone) -> Json:
    return {
        "way": gone.way,
        "pieces": gone.pieces,
        "serials": list(gone.serials),
        "because": gone.because,
        "job": gone.job,
        "nonconformance": gone.nonconformance,
        **who_when(gone.by, gone.moment),
    }


def _came_from(state: JobState, origin: CameFrom) -> Json:
    """The steps that were accepted by then, each with the event and the revision of its acceptance."""
    along = [
        {
            "step": signature.step,
            "revision": signature.revision,
            "event": signature.moment.seq - origin.first + 1,
            "by": signature.by.name,
        }
        for signature in state.accepted
        if origin.first <= signature.moment.seq <= origin.last
    ]
    return {
        "job": origin.job,
        "revision": origin.revision,
        "events": origin.events,
        "code": origin.code,
        "pieces": origin.pieces,
        "serials": list(origin.serials),
        "because": origin.because,
        "stands": origin.standing.ending,
        "accepted": along,
        **who_when(origin.by, origin.moment),
    }


def _component(part: Component) -> Json:
    return {
        "job": part.job,
        "title": part.act["title"],
        "part": part.act["part"],
        "step": part.step,
        "pieces": part.pieces,
        "serials": list(part.serials),
        "state": part.state,
        "revision": part.revision,
        "code": part.code,
        "events": part.events,
        "good": part.standing.good,
        "used": part.standing.used,
        "held_by": list(part.standing.holds),
        "materials": [list(row) for row in part.act["materials"]],
        "fillers": [list(row) for row in part.act["fillers"]],
        "components": [list(row) for row in part.act["components"]],
        **who_when(part.by, part.moment),
    }
