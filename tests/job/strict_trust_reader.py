"""A strict reader of a job's events: says from their text alone why a step must not stand accepted.

Written from the rules and with none of the program's code. It knows the steps of the kit: temperatures in degF, read
at a preheat or before each run of a weld, and words. It asks less than the gate in one place: of a weld's
temperatures it only minds a run of which no reading complies.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from fractions import Fraction
from typing import Any

Event = dict[str, Any]
LETS_STAND = ("use as is", "repair", "regrade")
PER_RUN = ("interpass temperature", "arc energy")


@dataclass
class Entry:
    """A reading as the events tell of it."""

    act: Event
    stands: bool = True

    @property
    def key(self) -> tuple[int, str]:
        return self.act["step"], self.act["quantity"]


@dataclass
class Nonconformance:
    act: Event
    proposed_by: str = ""
    disposition: str = ""
    approved_by: str = ""
    revision: int = 0
    open: bool = True
    void: bool = False
    seq: int = 0


@dataclass
class Sending:
    """Work at a vendor: what was sent, each receipt and each review with its place and who."""

    act: Event
    receipts: list[tuple[int, str, Event]] = field(default_factory=list)
    reviews: list[tuple[int, str, Event]] = field(default_factory=list)
    off: bool = False

    @property
    def back_at(self) -> int:
        return max((seq for seq, _, _ in self.receipts), default=0)

    @property
    def review(self) -> tuple[int, str, Event] | None:
        return self.reviews[-1] if self.reviews and self.reviews[-1][0] > self.back_at else None


@dataclass
class Told:
    """What is known after the last event."""

    revisions: list[Event] = field(default_factory=list)
    entries: dict[int, Entry] = field(default_factory=dict)
    attempts: dict[tuple[int, str], int] = field(default_factory=dict)
    performed: dict[int, list[tuple[int, str]]] = field(default_factory=dict)
    accepted: dict[int, tuple[int, str, Event]] = field(default_factory=dict)
    points: dict[tuple[int, int], list[tuple[int, str, str, Event]]] = field(default_factory=dict)
    nonconformances: dict[int, Nonconformance] = field(default_factory=dict)
    asked: dict[int, int] = field(default_factory=dict)
    answered: dict[int, tuple[int, str]] = field(default_factory=dict)
    changed: dict[int, int] = field(default_factory=dict)
    reworked: dict[int, int] = field(default_factory=dict)
    redone: list[tuple[int, int]] = field(default_factory=list)
    sendings: dict[int, list[Sending]] = field(default_factory=dict)
    reviewed: dict[int, int] = field(default_factory=dict)

    @property
    def numbers(self) -> list[int]:
        """The steps of the newest revision."""
        return [step["number"] for step in self.revisions[-1]["plan"]["steps"]]

    @property
    def self_inspection(self) -> bool:
        return bool(self.revisions[-1]["plan"].get("self_inspection"))

    def step(self, number: int, revision: int = 0) -> Event:
        plan = self.revisions[revision - 1]["plan"]
        return next(step for step in plan["steps"] if step["number"] == number)

    def requirement(self, key: tuple[int, str], revision: int = 0) -> Event:
        return next(r for r in self.step(key[0], revision)["requirements"] if r["quantity"] == key[1])

    def counts(self, number: int) -> bool:
        entry = self.entries[number]
        return entry.stands and entry.act["attempt"] == self.attempts.get(entry.key, 1)


def read(events: Sequence[Event]) -> Told:
    told = Told()
    for event in events:
        follow(told, event)
    return told


def follow(told: Told, event: Event) -> None:
    act, seq, who = event["act"], event["seq"], event["by"]["person"]
    match event["kind"]:
        case "traveler issued" | "traveler revised":
            told.revisions.append(act)
        case "reading recorded":
            told.entries[act["reading"]] = Entry(act)
            told.changed[act["step"]] = seq
        case "reading superseded":
            old = told.entries[act["reading"]]
            old.stands = False
            if act["correction"]:
                told.entries[act["correction"]["reading"]] = Entry(act["correction"])
            told.changed[old.act["step"]] = seq
        case "step performed":
            together = [who, *(other["person"] for other in act.get("with", ()))]
            told.performed.setdefault(act["step"], []).extend((seq, each) for each in together)
        case "step accepted":
            told.accepted[act["step"]] = (seq, who, told.step(act["step"]))
        case "hold released" | "hold waived" | "witness notified" | "witness attended":
            told.points.setdefault((act["step"], act["point"]), []).append(
                (seq, event["kind"].split()[-1], event["recorded_at"], told.step(act["step"]))
            )
        case "readings questioned":
            for number in act["readings"]:
                told.asked[number] = seq
                told.changed[told.entries[number].act["step"]] = seq
        case "question answered":
            for number in act["readings"]:
                told.answered[number] = (seq, act["answer"])
                told.changed[told.entries[number].act["step"]] = seq
        case "attempt opened":
            told.attempts[act["step"], act["quantity"]] = act["attempt"]
            told.changed[act["step"]] = seq
        case "requirement not applicable":
            told.changed[act["step"]] = seq
        case "file attached":
            told.changed[act["step"]] = seq
        case "job closed":
            pass
        case kind if kind.startswith("outside "):
            _at_vendor(told, kind, act, seq, who)
        case kind:
            _nonconformance(told, kind, act, seq, who)


def _at_vendor(told: Told, kind: str, act: Event, seq: int, who: str) -> None:
    sendings = told.sendings.setdefault(act["step"], [])
    if kind == "outside work sent":
        sendings.append(Sending(act))
    sending = sendings[act["sending"] - 1]
    match kind:
        case "outside work received":
            sending.receipts.append((seq, who, act))
        case "outside certificate reviewed":
            sending.reviews.append((seq, who, act))
            told.reviewed[act["step"]] = seq
            return
        case "outside work called off":
            sending.off = True
    told.changed[act["step"]] = seq


def workers(told: Told, number: int) -> set[str]:
    """Who performed a step, in whichever attempt, or received its work from a vendor."""
    received = {
        who for sending in told.sendings.get(number, ()) if not sending.off for _, who, _ in sending.receipts
    }
    return received | {performer for _, performer in told.performed.get(number, [])}


def vendor_reasons(told: Told, number: int) -> Iterator[str]:
    """Why a step that a vendor does must not be accepted: it is out, unreviewed, or came back otherwise."""
    sendings = [sending for sending in told.sendings.get(number, ()) if not sending.off]
    if told.step(number).get("outside") and not sendings and not _settled(told, number, 0):
        yield f"step {number} was not sent"
    for at, sending in enumerate(sendings):
        if not sending.receipts:
            yield f"step {number} is out"
            continue
        acts = [act for _, _, act in sending.receipts]
        wrong = sum(act["pieces"] for act in acts) != sending.act["pieces"]
        wrong = wrong or any(act["damage"] or act["heat_number"] == "not legible" for act in acts)
        if wrong and not _settled(told, number, sending.back_at):
            yield f"step {number} came back otherwise"
        if sending.review is None:
            yield f"the certificate of step {number} is not reviewed"
            continue
        seq, who, act = sending.review
        if act["result"] == "accepted" and not told.self_inspection and who in workers(told, number):
            yield f"{who} reviewed their own work at step {number}"
        anew = any(s.review and s.review[2]["result"] == "accepted" for s in sendings[at + 1 :])
        if act["result"] != "accepted" and not anew and not _settled(told, number, seq):
            yield f"the certificate of step {number} is not accepted"


def _settled(told: Told, number: int, since: int) -> bool:
    return any(
        entry.act["step"] == number
        and entry.act["quantity"] == "outside work"
        and entry.seq > since
        and entry.approved_by
        and entry.disposition in (*LETS_STAND, "rework")
        and not entry.open
        and not entry.void
        for entry in told.nonconformances.values()
    )


def _nonconformance(told: Told, kind: str, act: Event, seq: int, who: str) -> None:
    if kind == "nonconformance opened":
        told.nonconformances[act["nonconformance"]] = Nonconformance(act, seq=seq)
    entry = told.nonconformances[act["nonconformance"]]
    step = entry.act["step"]
    told.changed[step] = seq
    match kind:
        case "disposition proposed":
            entry.proposed_by, entry.disposition, entry.approved_by = who, act["disposition"], ""
        case "disposition approved":
            entry.approved_by, entry.revision = who, len(told.revisions)
            if act["disposition"] in ("rework", "repair"):
                told.redone.append((step, seq))
            if act["disposition"] == "rework":
                told.reworked[step] = seq
                for key in _redone(told, entry.act):
                    told.attempts[key] = told.attempts.get(key, 1) + 1
        case "nonconformance closed":
            entry.open = False
        case "nonconformance void":
            entry.open, entry.void = False, True


def _redone(told: Told, act: Event) -> set[tuple[int, str]]:
    every = {(act["step"], r["quantity"]) for r in told.step(act["step"])["requirements"]}
    named = {(act["step"], act["quantity"])} & every | {told.entries[n].key for n in act["readings"]}
    keys = named or every
    runs = {key for key in every if key[1] in PER_RUN}
    return keys | runs if keys & runs else keys


def open_reasons(told: Told, number: int, now: datetime) -> Iterator[str]:
    """Why a step must not stand accepted, whoever accepted it."""
    entries = {
        n: entry for n, entry in told.entries.items() if entry.act["step"] == number and told.counts(n)
    }
    for n, entry in entries.items():
        if told.asked.get(n, 0) > told.answered.get(n, (0, ""))[0]:
            yield f"reading {n} is in question"
        if entry.key[1] not in PER_RUN and _outside(told, entry) and not _let_stand(told, n):
            yield f"reading {n} is outside"
    yield from _runs(told, entries)
    for n, nonconformance in told.nonconformances.items():
        if nonconformance.act["step"] == number and nonconformance.open:
            yield f"nonconformance {n} is open"
    yield from _points(told, number, now)
    yield from vendor_reasons(told, number)
    signed = [seq for seq, _ in told.performed.get(number, [])]
    if not signed or signed[-1] < told.reworked.get(number, 0):
        yield "not signed as performed since its rework"
    back = [sending.back_at for sending in told.sendings.get(number, ()) if not sending.off]
    if not signed or (back and signed[-1] < back[-1]):
        yield "not signed as performed since it came back"


def _runs(told: Told, entries: dict[int, Entry]) -> Iterator[str]:
    laid = {e.act["run"] for e in entries.values() if e.key[1] == "arc energy"}
    for run in laid:
        of_run = [
            n for n, e in entries.items() if e.key[1] == "interpass temperature" and e.act["run"] == run
        ]
        if of_run and all(_outside(told, entries[n]) and not _let_stand(told, n) for n in of_run):
            yield f"run {run} was laid outside"


def open_holds(told: Told, number: int) -> Iterator[str]:
    """The holds of a step that nobody released on what there is, nor waived."""
    for point in told.step(number).get("points", ()):
        acts = told.points.get((number, point["point"]), [])
        if point["kind"] != "hold" or any(kind in ("waived", "attended") for _, kind, _, _ in acts):
            continue
        # A revision that asks again for exactly what was released asks for nothing new.
        released = [seq for seq, kind, _, asked in acts if kind == "released" and asked == told.step(number)]
        if not released or released[-1] < told.changed.get(number, 0):
            yield f"hold {point['point']} of step {number} is not released on what there is"


def _points(told: Told, number: int, now: datetime) -> Iterator[str]:
    yield from open_holds(told, number)
    for point in told.step(number).get("points", ()):
        acts = told.points.get((number, point["point"]), [])
        if point["kind"] == "hold" or any(kind in ("waived", "attended") for _, kind, _, _ in acts):
            continue
        notified = [datetime.fromisoformat(at) for _, kind, at, _ in acts if kind == "notified"]
        if not notified or now < notified[0] + timedelta(hours=int(point["notice"]["value"])):
            yield f"witness {point['point']} has neither come nor lapsed"


def _outside(told: Told, entry: Entry) -> bool:
    asks = told.requirement(entry.key)
    if asks["type"] != "number":
        return bool(asks["accepts"]) and entry.act["value"] not in asks["accepts"]
    if entry.act["unit"] != "degF":
        return False
    value, low, high = (
        Fraction(entry.act["value"]),
        *(asks[bound] and Fraction(asks[bound]["value"]) for bound in ("at_least", "at_most")),
    )
    return (low is not None and value < low) or (high is not None and value > high)


def _let_stand(told: Told, number: int) -> bool:
    key = told.entries[number].key
    now = told.requirement(key)
    return any(
        entry.disposition in LETS_STAND
        and entry.approved_by
        and not entry.open
        and not entry.void
        and number in entry.act["readings"]
        and told.requirement(key, entry.revision) == now
        for entry in told.nonconformances.values()
    )


def may_still_stand(told: Told, number: int) -> bool:
    """Whether an acceptance can stand at all: nothing changed and nothing before it was redone since, not own work."""
    if number not in told.accepted:
        return False
    seq, who, asked = told.accepted[number]
    performed = told.performed.get(number, [])
    return (
        asked == told.step(number)
        and seq > told.changed.get(number, 0)
        and seq > told.reviewed.get(number, 0)
        and all(signed < seq for signed, _ in performed)
        and (told.self_inspection or who not in workers(told, number))
        and not any(step < number and approved > seq for step, approved in told.redone)
    )
