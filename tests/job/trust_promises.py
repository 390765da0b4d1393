"""What the log of a job must never show, whatever was tried: read event by event, with none of the program's code.

Each promise is held at the event that would break it, since what comes later may hide it: an acceptance that no longer
stands was given all the same.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from strict_trust_reader import Event, Told, follow, may_still_stand, open_holds, vendor_reasons, workers

AFTER_THE_END = ("readings questioned", "question answered")


@dataclass
class Promises:
    """Follows a growing log; ``told`` is what the strict reader knows after the last event."""

    told: Told = field(default_factory=Told)
    closed: bool = False
    read: int = 0
    opened: dict[tuple[int, str], int] = field(default_factory=dict)
    laid: dict[int, int] = field(default_factory=dict)

    def follow(self, events: Sequence[Event]) -> None:
        """Read what is new, and fail at the event that breaks a promise."""
        for event in events[self.read :]:
            assert list(self._broken_by(event)) == [], event
            before = dict(self.told.attempts)
            follow(self.told, event)
            self._note(event, before)
        self.read = len(events)

    def _note(self, event: Event, before: dict[tuple[int, str], int]) -> None:
        act, seq = event["act"], event["seq"]
        self.closed = self.closed or event["kind"] == "job closed"
        self.opened |= {key: seq for key, now in self.told.attempts.items() if now != before.get(key, 1)}
        if event["kind"] == "reading recorded" and act["quantity"] == "arc energy":
            self.laid[act["reading"]] = seq
        if event["kind"] == "reading superseded" and act["reading"] in self.laid:
            old = self.laid.pop(act["reading"])
            if act["correction"]:
                self.laid[act["correction"]["reading"]] = old

    def _broken_by(self, event: Event) -> Iterator[str]:
        act, kind = event["act"], event["kind"]
        if self.closed and kind not in AFTER_THE_END:
            yield "the job is closed"
        match kind:
            case "step accepted":
                yield from self._accepted(act["step"], event["by"]["person"])
            case "hold released" if self._did_the_work(act["step"], event["by"]["person"]):
                yield "released by who did the work"
            case "attempt opened":
                yield from self._opened(act)
            case "outside certificate reviewed" if self._did_the_work(act["step"], event["by"]["person"]):
                yield "reviewed by who did the work or received it"
            case "outside certificate reviewed" if act["result"] == "accepted":
                if act["missing"] or not act["files"]:
                    yield "accepted with papers missing"
            case "reading recorded":
                key = (act["step"], act["quantity"])
                if act["attempt"] != self.told.attempts.get(key, 1):
                    yield f"written into attempt {act['attempt']} of {key}"
            case "job closed":
                yield from self._closed()

    def _accepted(self, number: int, who: str) -> Iterator[str]:
        if self._did_the_work(number, who):
            yield f"{who} performed step {number} and accepts it"
        yield from open_holds(self.told, number)
        yield from vendor_reasons(self.told, number)
        for earlier in self.told.numbers:
            if earlier < number:
                if not may_still_stand(self.told, earlier):
                    yield f"step {earlier} comes first and is not accepted"
                yield from open_holds(self.told, earlier)

    def _did_the_work(self, number: int, who: str) -> bool:
        """Performed or received it, in whichever attempt, where the sheet does not allow self-inspection."""
        return not self.told.self_inspection and who in workers(self.told, number)

    def _opened(self, act: Event) -> Iterator[str]:
        key = (act["step"], act["quantity"])
        before = self.told.attempts.get(key, 1)
        if act["attempt"] != before + 1:
            yield f"attempt {act['attempt']} of {key} is opened after attempt {before}"
        if any(seq > self.opened.get(key, 0) for seq in self.laid.values()):
            yield f"{key} is tried again after a run was laid"

    def _closed(self) -> Iterator[str]:
        for number in self.told.numbers:
            if not may_still_stand(self.told, number):
                yield f"step {number} is not accepted as it is"
            yield from open_holds(self.told, number)
        for number, entry in self.told.nonconformances.items():
            if entry.open:
                yield f"nonconformance {number} is open"
        for number, asked in self.told.asked.items():
            if self.told.counts(number) and asked > self.told.answered.get(number, (0, ""))[0]:
                yield f"reading {number} is in question"
