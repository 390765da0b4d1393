"""What bench mode says, as lines of safe text. No widgets here."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from traveler.job.course import Next
from traveler.job.run_list import RunRow
from traveler.quantity.parse import stored
from traveler.quantity.show import show
from traveler.report.outside_words import last_standing
from traveler.report.requirement_words import limit_words, value_words
from traveler.report.words import visible
from traveler.tui.bench_door import BenchLook
from traveler.tui.theme import marked
from traveler.tui.wording import limit_line, requirement_name

Json = Mapping[str, Any]
_SIGNS = {"enter": ">", "ready": ">", "heat": "!", "wait": "!", "settle": "!", "done": "+"}
MINUTE_S, HOUR_S, DAY_S = 60, 3600, 86400


def standing(requirement: Json) -> list[Json]:
    """The readings of the attempt that counts, the ones that were superseded left out."""
    return [
        reading
        for reading in requirement["readings"]
        if not reading["superseded"] and reading["attempt"] == requirement["attempts"]
    ]


def age_words(happened_at: str, now: datetime) -> str:
    """How long ago: "now", "3 min ago", "2 h ago", "4 days ago"; "dated ahead" for what is still to come."""
    seconds = (now - datetime.fromisoformat(happened_at)).total_seconds()
    if seconds < 0:
        return "dated ahead"
    if seconds < MINUTE_S:
        return "now"
    if seconds < HOUR_S:
        return f"{int(seconds // MINUTE_S)} min ago"
    if seconds < DAY_S:
        return f"{int(seconds // HOUR_S)} h ago"
    days = int(seconds // DAY_S)
    return f"{days} day{'' if days == 1 else 's'} ago"


READ_HERE = "Sent to {}: enter here what was read here; what its papers report is recorded on the step"


def fact_lines(look: BenchLook, requirement: Json, instrument: str, who: str, *, short: bool) -> list[str]:
    """Name and verdict, limit, the last reading with its age and verdict, with what and by whom it is read; where there
    is little room without what goes without saying.
    """
    name = f"{requirement_name(look.step, requirement)}: {marked(requirement['verdict'])}"
    last = last_words(requirement, look.now)
    sending = last_standing(look.step)
    whose = [READ_HERE.format(visible(sending["vendor"]))] if sending else []
    if short:
        return [name, limit_words(requirement), *([last] if standing(requirement) else []), *whose]
    lines = [name, *whose, limit_line(requirement), f"Last: {last}"]
    if not instrument:
        return [*lines, f"By: {who}"] if who else lines
    return [*lines, f"With: {instrument}; by {who}" if who else f"With: {instrument}"]


def last_words(requirement: Json, now: datetime) -> str:
    """The last reading that stands, with its verdict by sign and word, its place and its age."""
    readings = standing(requirement)
    if not readings:
        return "none yet"
    reading = readings[-1]
    run = f"run {reading['run']}" if reading["run"] else ""
    facts = [
        value_words(reading),
        run,
        visible(reading["place"] or ""),
        age_words(reading["happened_at"], now),
    ]
    return f"{marked(reading['verdict'])} {', '.join(fact for fact in facts if fact)}"


def run_lines(rows: Sequence[RunRow]) -> list[str]:
    """A line for each run: what was read before it, with what it was laid, how it is judged."""
    return [f"run {row.run}  {_read(row)}  {_laid(row)}  {marked(row.judgement.verdict)}" for row in rows]


def _read(row: RunRow) -> str:
    reading = row.interpass
    if reading is None:
        return "not read"
    crayon = {"at_least": "melts ", "at_most": "holds "}.get(reading.bound or "", "")
    return crayon + show(stored(reading.value, reading.unit or ""))


def _laid(row: RunRow) -> str:
    reading = row.arc_energy
    return "not laid" if reading is None else show(stored(reading.value, reading.unit or ""))


def reading_lines(requirement: Json, now: datetime) -> list[str]:
    """A line for each reading that counts, the last at the end."""
    return [
        f"{reading['reading']}  {marked(reading['verdict'])}  {value_words(reading)}"
        + (f"  {visible(reading['place'])}" if reading["place"] else "")
        + f"  {age_words(reading['happened_at'], now)}"
        for reading in standing(requirement)
    ]


def offer_lines(offers: Sequence[tuple[int, str]]) -> list[str]:
    """Numbered offers, safe to print: "1 plate"."""
    return [f"{number} {visible(words)}" for number, words in offers]


def asked_again(quantity_words: str) -> str:
    """What is said of a value that can hardly be meant."""
    return f"{quantity_words}: type it again to record it"


def limit_in_big(requirement: Json | None) -> tuple[str, str]:
    """A label and the number of the limit for the large digits; empty where there is none, or one at either side."""
    limit: Json = requirement["limit"] if requirement is not None else {}
    bounds = [
        (words, limit.get(bound)) for bound, words in (("at_least", "at least"), ("at_most", "at most"))
    ]
    only = [(words, str(value["value"])) for words, value in bounds if value]
    return only[0] if len(only) == 1 else ("", "")


def next_line(coming: Next) -> str:
    """What is to be done next, behind its sign."""
    return f"{_SIGNS[coming.kind]} {visible(coming.words)}"
