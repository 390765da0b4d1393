"""The next inspection of what a job made, by the shop's own record of the part; the job's code does not cover it."""

from collections.abc import Sequence

from traveler.report.words import Object, count_words, visible

NO_SERIAL = (
    "No part with a serial names this job in the shop's record: its next inspection is not known here."
)
_NOT_OF_THE_JOB = "It is no event of this job, and its code does not cover it."


def life_rows(parts: Sequence[Object] | None) -> list[list[str]]:
    """Serial, how it stands, when it is inspected again, since the last inspection: a row a part."""
    return [
        [
            f"{visible(part['serial'])}, {visible(part['design'])}",
            "; ".join([_state(part), *(visible(reason) for reason in part["why"])]),
            _next(part),
            "; ".join(_counter(entry) for entry in part["since_inspection"] if _counts(entry))
            or "nothing entered",
        ]
        for part in parts or ()
    ]


def life_words(obj: Object, parts: Sequence[Object] | None) -> list[str]:
    """Whose word it is and as of when; for a closed job without a serial that nothing is known; else nothing."""
    if not parts:
        return [NO_SERIAL] if parts is not None and obj.get("closed") else []
    last = max(parts, key=lambda part: int(part["event"]))
    return [
        f"By the shop's part record at event {last['event']} of its own stream, as it stood on {last['stands_on']}. "
        f"{_NOT_OF_THE_JOB}"
    ]


def life_facts(parts: Sequence[Object] | None) -> list[tuple[str, str]]:
    """For the cover: when each part is inspected again."""
    return [("Next inspection", f"{visible(part['serial'])}: {_next(part)}") for part in parts or ()]


def _state(part: Object) -> str:
    where = f"on {visible(part['car'])}" if part["car"] else "on no car"
    return f"{visible(part['state'])}, {where}"


def _next(part: Object) -> str:
    if not part["interval"]:
        return "no interval set"
    due = f"by {part['due_on']}" if part["due_on"] else "no date; by its counters"
    return f"{due}; every {visible(part['interval'])}, whichever comes first; after a crash at once"


def _counts(entry: Object) -> bool:
    return bool(entry["limit"] or entry["unknown"] or entry["used"] not in ("0", "0 events"))


def _counter(entry: Object) -> str:
    limit = f" of {visible(entry['limit'])}" if entry["limit"] else ""
    unknown = f", not said by {count_words(entry['unknown'], 'use')}" if entry["unknown"] else ""
    return f"{visible(entry['used'])}{limit}{unknown}"
