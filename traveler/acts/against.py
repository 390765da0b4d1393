"""What follows from holding a record against a code noted earlier, or against another copy of the file."""

from collections.abc import Mapping
from dataclasses import dataclass

from traveler.record.compare import Comparison
from traveler.record.noted import Noted
from traveler.record.verify import JOURNAL, Found
from traveler.report.words import count_words


@dataclass(frozen=True, slots=True)
class History:
    """Where a record has the code that was asked for, None for nowhere; ``events``: how many by stream.

    ``what`` names the record in a sentence. ``at_count`` says, where it can be said, which code there is at the
    number of events that was noted.
    """

    what: str
    found: Found | None
    events: Mapping[str, int]
    at_count: str | None


@dataclass(frozen=True, slots=True)
class Answer:
    """``yes``: the record is the one that was noted, or goes on from it. With sentences that say so, or why not."""

    yes: bool
    sentences: tuple[str, ...]


def held_against(noted: Noted, history: History) -> Answer:
    """Is the code one of those that this record has had, and what has become of the record since?"""
    found = history.found
    if found is None:
        return _no(f"no event of this {history.what} gives the code {noted}", _why_not(noted, history))
    is_journal = found.stream == JOURNAL
    stands = (
        f"the code {noted} is that of event {found.event} of {'the journal' if is_journal else found.stream}"
    )
    if not found.unaltered:
        return _no(f"{stands}, but what it covers does not all fit: see the faults")
    if noted.events not in (None, found.event):
        return _no(f"{stands}: either the code or the number was not noted with the other")
    further = history.events[found.stream] - found.event
    if not further:
        return _yes(f"{stands}, the newest: nothing was added since, and nothing altered")
    whole = f"the {history.what}" if is_journal else found.stream
    return _yes(f"{stands}: {whole} is {count_words(further, 'event')} further, and unaltered up to there")


def _yes(*sentences: str) -> Answer:
    return Answer(True, sentences)


def _no(*sentences: str) -> Answer:
    return Answer(False, sentences)


def _why_not(noted: Noted, history: History) -> str:
    longest = max(history.events.values(), default=0)
    if noted.events is not None and noted.events > longest:
        return (
            f"it has {count_words(longest, 'event')}, and {noted.events} were noted: "
            "its end was cut off, or an older copy was put in its place"
        )
    at_count = f"; {history.at_count}" if history.at_count else ""
    return (
        f"either the code was misread, or this {history.what} was cut, replaced by an older copy, carried on from "
        f"a copy, or altered and computed anew{at_count}"
    )


def beside(other: str, comparison: Comparison) -> Answer:
    """What a shop's file is to another copy of it, ``other``; each is sound in itself."""
    here, there = comparison.here, comparison.there
    common = count_words(comparison.common, "event")
    if not comparison.same_shop:
        return _no(f"{other} is the file of another shop")
    if here is None and there is None:
        return _yes(f"{other} holds the same {common}")
    if there is None:
        return _yes(f"{other} holds its first {common} unaltered; it goes on with {here}")
    if here is None:
        return _no(
            f"it ends after {common}, where {other} goes on with {there}: "
            "its end was cut off, or an older copy was put in its place"
        )
    return _no(
        f"it and {other} part after {common}: both were carried on from one copy, or one was altered",
        f"it goes on with {here}",
        f"the other goes on with {there}",
    )
