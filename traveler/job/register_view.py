"""People of the register as JSON."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from traveler.job.qualification import Weld, valid_on
from traveler.job.register import Register, RegisteredPerson
from traveler.job.view_trust import who_when

Json = dict[str, Any]


def registered_object(
    register: Register, entry: RegisteredPerson, welds: Iterable[Weld], today: date
) -> Json:
    """One person with what they may weld on ``today``; ``welds``: what they welded in the jobs."""
    welded = tuple(welds)
    processes = sorted({use.process for use in entry.uses} | {process for process, _ in welded})
    return {
        "person": entry.id,
        "name": entry.name,
        "roles": list(entry.roles),
        "disabled": entry.disabled,
        "former_names": list(entry.former_names),
        "secret": entry.commitment is not None,
        "recovery_code": entry.recovery_commitment is not None,
        "processes": [_process(register, entry, process, today, welded) for process in processes],
    }


def history_object(register: Register, entry: RegisteredPerson) -> Json:
    """What happened to a person's entry, what was shown of their welding, and the signatures they were refused."""
    return {
        "shown": [
            {"process": use.process, "on": use.on.isoformat(), "shown_by": use.shown_by} for use in entry.uses
        ],
        "history": [
            {"what": change.what, "because": change.because, **who_when(change.by, change.moment)}
            for change in entry.changes
        ],
        "refused": [
            {
                "as": refused.meant,
                "job": refused.job,
                "step": refused.step,
                "reason": refused.reason,
                "recorded_at": refused.moment.recorded_at,
            }
            for refused in register.refused
            if refused.person == entry.id
        ],
    }


def _process(
    register: Register, entry: RegisteredPerson, process: str, today: date, welds: tuple[Weld, ...]
) -> Json:
    found = valid_on(register, entry.id, process, today, welds)
    return {
        "process": process,
        "valid": found.valid,
        "until": found.until.isoformat() if found.until else None,
        "reason": found.reason,
    }
