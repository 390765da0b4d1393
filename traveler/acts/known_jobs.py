"""The states of the jobs that this program worked out last, so that an act folds only what was added since.

A state is a pure function of a job's events, and the link of its last event stands for the text of every one of them.
So a state that is kept with that link is the state of any stream whose event of that number has it. What the link
cannot tell is whether a text before it was altered and left with its old link. Working a job out from the first event
finds that, so here the texts are held against the link again as soon as anybody else wrote to the file.
"""

from collections.abc import Iterator
from dataclasses import replace
from weakref import WeakKeyDictionary

from traveler.job.fold import Event, extend, extend_all, fold
from traveler.job.state import JobState
from traveler.record.chain import code
from traveler.record.collector import collector_paused
from traveler.record.links import refuse_altered, unaltered
from traveler.record.log import job_stream
from traveler.record.rows import StoredEvent
from traveler.record.shop import Shop, Writing

MOST_JOBS = 4
"""Jobs to keep: somebody works on one, and looks at the next."""


class _Kept:
    """A state with the link of its last event, and the version of the file at which its texts were last held against
    that link.
    """

    __slots__ = ("link", "state", "version")

    def __init__(self, state: JobState, link: bytes, version: int) -> None:
        self.state = state
        self.link = link
        self.version = version


class KnownJobs:
    """The states that one open shop file was found to give; ``of`` hands out those of a shop."""

    def __init__(self) -> None:
        self._jobs: dict[str, _Kept] = {}

    def __contains__(self, number: str) -> bool:
        return number in self._jobs

    def state(self, source: Shop | Writing, number: str) -> JobState | None:
        """The state of a job as its events say now; None where it has none. Inside a write it holds until that ends.

        TravelerError where one of its events was altered.
        """
        # Asked before the events are read: what is written in between is then looked at twice, and not never.
        version = source.data_version()
        kept = self._jobs.pop(number, None)
        newer = None if kept is None else _newer(source, number, kept, version)
        if kept is None or newer is None:
            # None known, another stream than the one known, or a text that was altered: this names it.
            kept = _worked_out(source, number, version)
            if kept is None:
                return None
        elif newer:
            head = newer[-1].hash
            kept = _Kept(
                replace(extend_all(kept.state, (event.data for event in newer)), head=code(head)),
                head,
                version,
            )
        kept.version = version
        self._keep(number, kept)
        return kept.state

    def extended(self, writing: Writing, number: str, stored: StoredEvent) -> JobState:
        """The state after the event that this write has appended to a job whose state it asked for."""
        kept = self._jobs[number]
        after = extend(kept.state, stored.data, code(stored.hash))
        if after.events != stored.seq:
            raise RuntimeError(
                f"event {stored.seq} of {stored.stream} does not follow the state it is added to"
            )
        # Of a write that is rolled back: its link then stands nowhere in the file, and the state is not used.
        self._keep(number, _Kept(after, stored.hash, kept.version))
        return after

    def _keep(self, number: str, kept: _Kept) -> None:
        self._jobs.pop(number, None)
        self._jobs[number] = kept
        if len(self._jobs) > MOST_JOBS:
            del self._jobs[next(iter(self._jobs))]


_shops: WeakKeyDictionary[Shop, KnownJobs] = WeakKeyDictionary()


def known_jobs(shop: Shop) -> KnownJobs:
    """What is known of the jobs of an open shop file."""
    return _shops.setdefault(shop, KnownJobs())


def state_of(events: list[StoredEvent]) -> JobState:
    """Fold stored events, with the code of their head. Raises TravelerError where one of them was altered."""
    refuse_altered(events)
    return fold((event.data for event in events), code(events[-1].hash))


def _worked_out(source: Shop | Writing, number: str, version: int) -> _Kept | None:
    """A job from its first event on; None where it has none."""
    events = unaltered(source.each_event(job_stream(number)))
    first = next(events, None)
    if first is None:
        return None
    head = first.hash

    def each() -> Iterator[Event]:
        nonlocal head
        yield first.data
        for event in events:
            head = event.hash
            yield event.data

    with collector_paused():
        state = fold(each())
    return _Kept(replace(state, head=code(head)), head, version)


def _newer(source: Shop | Writing, number: str, kept: _Kept, version: int) -> list[StoredEvent] | None:
    """What was added to a job since; None where its events do not go on from those that the state was made of."""
    stream, seq = job_stream(number), kept.state.events
    if version != kept.version and not source.gives(stream, seq, kept.link):
        return None
    newer = source.events_after(stream, seq, kept.link)
    if newer:
        refuse_altered(newer, kept.link)
    return newer
