"""What the board says, in the words that the screen and the list share."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta

from traveler.report.words import Object, count_words, visible

NEED_WORDS: Mapping[str, str] = {
    "decision": "blocked",
    "signature": "to sign",
    "readings": "to do",
    "time": "waits",
}
"""One word for what an open job takes next; an ended one is called by its state."""


def standing_word(job: Object) -> str:
    """How a job stands, in a word or two: "blocked", "to sign", "closed"."""
    return NEED_WORDS.get(job["needs"], visible(job["state"]))


def when_words(instant: datetime, now: datetime) -> str:
    """ "14:20", "14:20 tomorrow", "14:20 on 2026-12-01", on the clock and in the zone of ``now``."""
    local = instant.astimezone(now.tzinfo)
    return f"{local:%H:%M}{_day_words(local.date(), now.date())}"


def _day_words(day: date, today: date) -> str:
    near = {today: " today", today + timedelta(days=1): " tomorrow", today - timedelta(days=1): " yesterday"}
    return near.get(day, f" on {day.isoformat()}")


def due_words(job: Object, now: datetime) -> str:
    """ "crack test from 14:20 tomorrow", "crack test since 14:20 today"; empty where nothing comes due."""
    if not job["due"]:
        return ""
    at = datetime.fromisoformat(job["due_at"])
    return f"{visible(job['due'])} {'since' if at <= now else 'from'} {when_words(at, now)}"


def waiting_words(job: Object, now: datetime) -> str:
    """All that a job waits for, what is counted and what is due first; empty for an ended one."""
    if job["needs"] == "nothing":
        return ""
    words = [*_counted(job), due_words(job, now)]
    if job["needs"] != "time":
        words += [f"waits for: {visible(reason)}" for reason in job["blocked_by"]] or [_signature_words(job)]
    return "; ".join(filter(None, words))


NEXT_WORDS: Mapping[str, str] = {
    "decision": "next: a decision",
    "signature": "next: a signature",
    "readings": "next: work and its readings",
    "time": "next: nothing before its time",
}


def next_words(job: Object, now: datetime) -> str:
    """What an open job takes next, what is counted and what is due, without the reason that blocks it."""
    if job["needs"] == "nothing":
        return ""
    return "; ".join(filter(None, (NEXT_WORDS[job["needs"]], *_counted(job), due_words(job, now))))


def _signature_words(job: Object) -> str:
    if job["step"] is None:
        return "every step is accepted: to be closed"
    return "nothing stands against its acceptance" if job["needs"] == "signature" else ""


def _counted(job: Object) -> list[str]:
    counted = []
    if job["nonconformances"]:
        counted.append(f"{count_words(job['nonconformances'], 'nonconformance')} open")
    if job["in_question"]:
        counted.append(f"{count_words(job['in_question'], 'reading')} in question")
    return counted


def totals_words(totals: Object, file_name: str = "") -> str:
    """ "6 jobs in shop.traveler: 1 blocked, 2 to sign, 3 ended; 1 due now; 2 nonconformances open"."""
    needs = totals["needs"]
    jobs = [f"{needs[need]} {word}" for need, word in NEED_WORDS.items() if needs.get(need)]
    jobs += [f"{needs['nothing']} ended"] if needs.get("nothing") else []
    count = count_words(sum(needs.values()), "job") + (f" in {visible(file_name)}" if file_name else "")
    facts = [f"{count}: {', '.join(jobs)}" if jobs else count]
    due = [f"{totals['came']} due now"] if totals["came"] else []
    due += [f"{totals['later']} due later"] if totals["later"] else []
    facts += [", ".join(due)] if due else []
    return "; ".join([*facts, *_counted(totals)])


def calibration_words(dues: Sequence[Object], most: int) -> str:
    """The first calibrations that are over or due, and how many more there are; empty for none."""
    said = [f"{visible(due['instrument'])} {visible(due['name'])} {_calibration(due)}" for due in dues[:most]]
    more = [f"and {len(dues) - most} more"] if len(dues) > most else []
    return f"calibration: {'; '.join([*said, *more])}" if dues else ""


def _calibration(due: Object) -> str:
    if due["state"] == "in calibration":
        return f"due {due['due']}"
    return (
        f"overdue since {due['due']}" if due["due"] and due["state"] == "overdue" else visible(due["state"])
    )


def part_dues_words(dues: Sequence[Object], most: int) -> str:
    """The first parts that are to be inspected, and how many more there are; empty for none."""
    said = [f"{visible(due['serial'])}{_on_car(due)} {_part_due(due)}" for due in dues[:most]]
    more = [f"and {len(dues) - most} more"] if len(dues) > most else []
    return f"parts: {'; '.join([*said, *more])}" if dues else ""


def _on_car(due: Object) -> str:
    return f" on {visible(due['car'])}" if due["car"] else ""


def _part_due(due: Object) -> str:
    return f"due {due['due_on']}" if due["state"] == "fit" else str(due["state"])


def last_words(job: Object, now: datetime) -> str:
    """ "last: 15:00 Ida Weld, step 40 was accepted"."""
    return f"last: {_who(job, now)}, {_deed(job)}"


def newest_words(job: Object, now: datetime) -> tuple[str, str]:
    """Who did something last and when; and what: ("15:00 Ida Weld", "H-014: step 40 was accepted")."""
    return _who(job, now), f"{visible(job['number'])}: {_deed(job)}"


def _who(job: Object, now: datetime) -> str:
    at = when_words(datetime.fromisoformat(job["last_event_at"]), now) if job["last_event_at"] else ""
    return f"{at.removesuffix(' today')} {visible(job['last_by'] or 'nobody named')}".strip()


def _deed(job: Object) -> str:
    return visible(job["last_deed"] or job["state"])
