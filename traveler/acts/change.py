"""The road that every change takes: begin, load, fold, let the act decide, append, refresh the board, commit."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from traveler.acts.clock import Clock
from traveler.acts.consequences import tell_others
from traveler.acts.entry import Entry as Entry
from traveler.acts.entry import Refusal as Refusal
from traveler.acts.known_jobs import known_jobs
from traveler.acts.known_jobs import state_of as state_of
from traveler.acts.register import append_to, shop_now
from traveler.errors import TravelerError
from traveler.job.board import as_recorded
from traveler.job.board import board_row as board_row
from traveler.job.state import JobState, Person
from traveler.quantity.parse import echo
from traveler.record.shop import Shop, StoredEvent, Writing


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of an act: ``recorded`` or not, whether the answer is yes, a sentence, and the state after it.

    ``complies`` False: it was recorded but is outside its limit, or it was refused; commands end with status 1.
    """

    recorded: bool
    complies: bool
    message: str
    state: JobState
    reasons: tuple[str, ...] = ()
    reading: int | None = None


@dataclass(frozen=True, slots=True)
class Changed:
    """State before and after, or the refusal that left it as it was."""

    before: JobState
    after: JobState
    refused: tuple[str, ...] = field(default=())


Decide = Callable[[JobState, datetime, Writing], Entry | Refusal]


def stream_of(number: str) -> str:
    """Name of a job's stream of events."""
    return f"job {number}"


def load_job(shop: Shop, number: str) -> JobState:
    """State of a job. Raises TravelerError where the shop has no such job."""
    state = known_jobs(shop).state(shop, number)
    if state is None:
        raise TravelerError(no_such_job(shop, number))
    return state


def no_such_job(shop: Shop, number: str) -> str:
    """The sentence for a job number that the shop does not have."""
    known = ", ".join(shop.job_numbers()[:12]) or "none yet"
    return f'there is no job "{echo(number)}" in this shop; its jobs: {known}'


def change(shop: Shop, clock: Clock, person: Person, number: str, decide: Decide) -> Changed:
    """Run ``decide`` on the job's state inside one immediate transaction and append what it says.

    ``decide`` may read but not wait: no transaction spans a keystroke.
    """
    known = known_jobs(shop)
    if number not in known and not shop.has_job(number):
        raise TravelerError(no_such_job(shop, number))
    with shop.write() as writing:
        before = known.state(writing, number)
        if before is None:
            raise TravelerError(no_such_job(shop, number))
        now = shop_now(writing, clock)
        entry = decide(before, now, writing)
        if isinstance(entry, Refusal):
            return Changed(before, before, entry.reasons)
        stored = append(writing, number, person, entry, now)
        after = known.extended(writing, number, stored)
        writing.put_board_row(as_recorded(after))
        tell_others(writing, person, now, after, [stored])
        return Changed(before, after)


def append(writing: Writing, number: str, person: Person, entry: Entry, now: datetime) -> StoredEvent:
    """Append one event to a job's stream. Raises BadInput where nobody says who did it."""
    return append_to(writing, stream_of(number), person, entry, now)
