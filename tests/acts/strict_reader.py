"""A strict reader of the log: says from the events' own text alone why a step may not be accepted.

Written from the rules of the trade and of the record, with none of the program's code: limits are those of the
sheet's two thicknesses (4130 ladder, common practice, no published source: 300 F at 1/4 in, 400 F from 3/8 in,
200 F more between runs), compared as fractions worked out here.
"""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from fractions import Fraction
from typing import Any

Event = dict[str, Any]


def celsius(fahrenheit: int) -> Fraction:
    return Fraction(fahrenheit - 32) * 5 / 9


TO_BASE = {
    "degF": lambda number: (number - 32) * 5 / 9,
    "degC": lambda number: number,
    "h": lambda number: number * 60,
    "min": lambda number: number,
    "kJ/mm": lambda number: number,
    "kJ/in": lambda number: number / Fraction(254, 10),
}
MINIMUM = {"1/4 in": celsius(300), "3/8 in": celsius(400)}
MAXIMUM = {"1/4 in": celsius(500), "3/8 in": celsius(600)}
QUANTITIES = {
    10: ("preheat temperature",),
    20: ("welder", "filler lot", "interpass temperature", "arc energy"),
    30: ("cooling after welding", "uncovering temperature"),
    40: ("wait before test", "visual result", "crack test"),
}
BEHIND_THE_WELD = (30, 40)
WORDS = {
    "cooling after welding": "slow cooled under cover",
    "visual result": "accepted",
    "crack test": "no relevant indications",
}


@dataclass(frozen=True)
class Entry:
    """A reading with the place in the log that it counts from, and by whom and at which place it was entered."""

    step: int
    quantity: str
    value: str
    unit: str | None
    run: int | None
    place: str | None
    attempt: int
    counts_from: int
    happened_at: str
    by: str
    entered: int
    stands: bool = True

    @property
    def size(self) -> Fraction:
        return TO_BASE[str(self.unit)](Fraction(self.value))


@dataclass
class Log:
    """What a reader of the events knows after the last of them."""

    steps: dict[int, Event] = field(default_factory=dict)
    conflicts: list[str] = field(default_factory=list)
    thickness: str = ""
    entries: dict[int, Entry] = field(default_factory=dict)
    attempts: dict[str, int] = field(default_factory=dict)
    performed: dict[int, list[tuple[str, int | None, set[int]]]] = field(default_factory=dict)
    signed: dict[int, list[tuple[int, str]]] = field(default_factory=dict)
    accepted_as: dict[int, Event] = field(default_factory=dict)
    accepted_at: dict[int, int] = field(default_factory=dict)
    ended: bool = False

    @property
    def accepted(self) -> set[int]:
        """Steps accepted, asked for today exactly as they were when they were accepted, and not welded since."""
        return {
            number
            for number, step in self.accepted_as.items()
            if self.steps.get(number) == step
            and not (number in BEHIND_THE_WELD and self.last_run() > self.accepted_at[number])
        }

    def last_run(self) -> int:
        """The place in the log from which the last run of weld is recorded; 0 where none is."""
        return max((entry.counts_from for entry in self.of("arc energy")), default=0)

    def of(self, quantity: str) -> list[Entry]:
        attempt = self.attempts.get(quantity, 1)
        return [
            entry
            for entry in self.entries.values()
            if entry.quantity == quantity and entry.stands and entry.attempt == attempt
        ]

    def laid(self) -> dict[int, int]:
        """Runs of weld by number, with the place in the log from which each is recorded."""
        runs: dict[int, int] = {}
        for entry in self.of("arc energy"):
            assert entry.run is not None
            runs[entry.run] = min(runs.get(entry.run, entry.counts_from), entry.counts_from)
        return runs


def read(events: Sequence[Event]) -> Log:
    """Follow the events one by one."""
    log = Log()
    for event in events:
        act, seq = event["act"], event["seq"]
        match event["kind"]:
            case "traveler issued" | "traveler revised":
                _issued(log, act)
            case "reading recorded":
                log.entries[act["reading"]] = _entry(act, seq, event["happened_at"], event)
                log.accepted_as.pop(act["step"], None)
            case "reading superseded":
                old = log.entries[act["reading"]]
                assert old.stands
                log.entries[act["reading"]] = replace(old, stands=False)
                if act["correction"]:
                    new = _entry(act["correction"], old.counts_from, old.happened_at, event)
                    assert (new.step, new.quantity, new.run, new.attempt, new.place) == (
                        old.step, old.quantity, old.run, old.attempt, old.place,
                    )  # fmt: skip
                    log.entries[act["correction"]["reading"]] = new
                log.accepted_as.pop(old.step, None)
            case "attempt opened":
                log.attempts[act["quantity"]] = log.attempts.get(act["quantity"], 1) + 1
                assert log.attempts[act["quantity"]] == act["attempt"]
                log.accepted_as.pop(act["step"], None)
            case "file attached":
                log.accepted_as.pop(act["step"], None)
            case "step performed":
                before = {number for number in log.performed if log.performed[number]}
                log.performed.setdefault(act["step"], []).append((event["by"]["name"], act["runs"], before))
                log.signed.setdefault(act["step"], []).append((seq, event["by"]["name"]))
                log.accepted_as.pop(act["step"], None)
            case "step accepted":
                log.accepted_as[act["step"]] = log.steps[act["step"]]
                log.accepted_at[act["step"]] = seq
            case "job closed" | "job cancelled":
                log.ended = True
            case other:
                raise AssertionError(f"a kind of event that nobody told of: {other}")
    return log


def _issued(log: Log, act: Event) -> None:
    log.steps = {step["number"]: step for step in act["plan"]["steps"]}
    log.conflicts = act["plan"]["conflicts"]
    log.thickness = next(size for size in MINIMUM if f'thickness = "{size}"' in act["sheet"])


def _entry(act: Event, counts_from: int, happened_at: str, event: Event) -> Entry:
    return Entry(
        act["step"], act["quantity"], act["value"], act["unit"], act["run"], act["place"], act["attempt"],
        counts_from, happened_at, event["by"]["name"], event["seq"],
    )  # fmt: skip


def same_person(one: str, other: str) -> bool:
    def plain(name: str) -> str:
        return " ".join(unicodedata.normalize("NFKC", name).casefold().split())

    return plain(one) == plain(other)


def against_acceptance(log: Log, step: int, person: str, now: datetime) -> list[str]:
    """Every reason why ``person`` may not accept ``step`` now; none where it complies."""
    reasons = ["the job has ended"] if log.ended else []
    if step in log.accepted:
        reasons.append("accepted already")
    reasons += log.steps[step]["conflicts"]
    reasons += [
        f"step {number} first" for number in log.steps if number < step and number not in log.accepted
    ]
    signed = log.performed.get(step, [])
    if not signed:
        reasons.append("not performed")
    elif {number for number in log.steps if number < step} - signed[-1][2]:
        reasons.append("performed out of order")
    elif step == 20 and any(since > log.signed[step][-1][0] for since in work_attested_from(log)):
        reasons.append("work that nobody signed for")
    reasons += ["own work" for name, _, _ in signed if same_person(name, person)]
    for quantity in QUANTITIES[step]:
        reasons += against_quantity(log, quantity)
        ahead = [entry for entry in log.of(quantity) if datetime.fromisoformat(entry.happened_at) > now]
        reasons += [f"{quantity} is still to happen" for _ in ahead]
        shown = [entry.counts_from for entry in log.of(quantity)]
        if step in BEHIND_THE_WELD and shown and max(shown) < log.last_run():
            reasons.append(f"{quantity} is of the weld without its last run")
    return reasons


def work_attested_from(log: Log) -> list[int]:
    """From where in the log a signature on the weld is about each welder entered, and about each run laid."""
    return [entry.entered for entry in log.of("welder")] + [
        entry.counts_from for entry in log.of("arc energy")
    ]


def against_quantity(log: Log, quantity: str) -> list[str]:
    """What the standing readings of one quantity lack."""
    standing = log.of(quantity)
    if quantity == "preheat temperature":
        cold = [entry for entry in standing if entry.size < MINIMUM[log.thickness]]
        # Read once a run is laid, it is no reading of the metal before it.
        first_run = min(log.laid().values(), default=None)
        before = [entry for entry in standing if first_run is None or entry.counts_from < first_run]
        places = {" ".join(entry.place.split()).casefold() for entry in before if entry.place}
        few = ["two readings at two places"] if len(before) < 2 or len(places) < 2 else []
        return ["too cold" for _ in cold] + few
    if quantity in ("interpass temperature", "arc energy"):
        return against_runs(log, quantity)
    if not standing:
        return [f"{quantity} is missing"]
    if quantity in WORDS:
        return [f"{quantity} is wrong" for entry in standing if entry.value != WORDS[quantity]]
    if quantity == "uncovering temperature":
        return ["uncovered too hot" for entry in standing if entry.size > celsius(150)]
    if quantity == "wait before test":
        return ["tested too early" for entry in standing if entry.size < 48 * 60]
    return []


def against_runs(log: Log, quantity: str) -> list[str]:
    """Each run that was laid or signed for has its energy, and before it a last temperature inside the window."""
    laid = log.laid()
    signed = log.performed.get(20, [])
    counted = (signed[-1][1] or 0) if signed else 0
    runs = sorted({*laid, *range(1, counted + 1)})
    if not runs:
        return ["no run of weld"]
    reasons = []
    for run in runs:
        if quantity == "arc energy":
            reasons += [] if run in laid else [f"run {run} has no arc energy"]
            continue
        low, high = MINIMUM[log.thickness], MAXIMUM[log.thickness]
        of_run = sorted(
            (entry for entry in log.of(quantity) if entry.run == run), key=lambda entry: entry.counts_from
        )
        before = [entry for entry in of_run if run not in laid or entry.counts_from < laid[run]]
        reasons += [
            f"run {run} read outside after it"
            for e in of_run
            if e not in before and not low <= e.size <= high
        ]
        if not before or not low <= before[-1].size <= high:
            reasons.append(f"run {run} has no good temperature before it")
    return reasons


def against_superseding(log: Log, number: int, person: str) -> list[str]:
    """Every reason why ``person`` may not correct an entry: once it, or what it corrects, is signed over, it is
    another person's to do."""
    entry = log.entries[number]
    over_the_first = [(seq, name) for seq, name in log.signed.get(entry.step, []) if seq > entry.counts_from]
    own = [name for _, name in over_the_first if same_person(name, person)]
    if any(seq > entry.entered for seq, _ in over_the_first) and same_person(entry.by, person):
        own.append(entry.by)
    return [*(["the job has ended"] if log.ended else []), *own]


def against_closing(log: Log) -> list[str]:
    reasons = ["the job has ended"] if log.ended else []
    return reasons + log.conflicts + [f"step {number}" for number in log.steps if number not in log.accepted]


def against_retry(log: Log, step: int, quantity: str) -> list[str]:
    """Only the preheat, only too cold, only before any run of weld."""
    if log.ended or step != 10:
        return ["not to be tried again"]
    standing = log.of(quantity)
    if log.laid() or not any(entry.size < MINIMUM[log.thickness] for entry in standing):
        return ["a run is laid, or nothing was too cold"]
    return []
