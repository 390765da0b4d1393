"""Is a welder's qualification for a process still alive on the day of the weld? The six months rule."""

import re
from calendar import monthrange
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from traveler.job.person import Person, plain_name
from traveler.job.register import Register
from traveler.job.requirement import StepPlan
from traveler.job.state import ARC_ENERGY, JobState, Signature
from traveler.metals.outcome import Source

CONTINUITY_SOURCE = Source(
    "ASME BPVC section IX, as welding forums quote it", "secondary", clause="QW-322.1: six months, by process"
)
CONTINUITY_BESIDE = (
    Source("AWS D1.1, period of effectiveness of a welder's qualification", "memory", clause="six months"),
    Source("ISO 9606-1", "memory", clause="9.2, confirmation every six months"),
)
MONTHS = 6
WELDER = "welder"

BETWEEN_NAMES = re.compile(r"[,;/|&+()\[\]\n]|\b(?:and|with|und|mit|et|y|e|i|och|og|en)\s", re.IGNORECASE)
"""What stands between names where several are written in one field."""

Weld = tuple[str, date]
"""A process by its ISO 4063 number and the day on which it was used in production."""


@dataclass(frozen=True, slots=True)
class Validity:
    """Whether it was alive, the last day on which it is (None where it never was), and why in words."""

    valid: bool
    until: date | None
    reason: str


def valid_on(register: Register, person: str, process: str, day: date, welds: Iterable[Weld]) -> Validity:
    """Whether person ``person`` (an id) was qualified for ``process`` on ``day``, the day of the weld.

    Alive where the process was used within the six calendar months before the day, the last day of them included: used
    on 31 August, good until the last day of February. What the register shows (a test piece, an earlier record) makes
    it alive at any time; a weld in production (``welds``) renews it only while it is alive, and never by itself on
    its own day.

    Raises BadInput where the register has no such person.
    Source: ASME IX QW-322.1 [secondary]; AWS D1.1 and ISO 9606-1 ask for the same interval [memory].
    """
    who = register.person(person)
    used = sorted(
        [(use.on, True) for use in who.uses if use.process == process and use.on <= day]
        + [(on, False) for used_process, on in welds if used_process == process and on < day],
        key=lambda use: (use[0], not use[1]),
    )
    last: date | None = None
    until: date | None = None
    after_lapse: date | None = None
    for on, shown in used:
        if shown or (until is not None and on <= until):
            last, until = on, months_later(on, MONTHS)
            after_lapse = None
        elif until is not None:
            after_lapse = on
    if last is None or until is None:
        return Validity(False, None, f"{who.name} has never been shown to weld by process {process}")
    if day <= until:
        return Validity(True, until, f"{process} last used on {last}; good until {until}")
    reason = f"{process} was last used on {last}: it lapsed after {until}"
    if after_lapse is not None:
        reason += f", and the weld of {after_lapse} does not renew what had lapsed"
    return Validity(False, until, f"{reason}; a test piece makes it alive again")


def months_later(day: date, months: int) -> date:
    """The same day so many months later, or the last day of that month where it is shorter."""
    index = day.month - 1 + months
    year, month = day.year + index // 12, index % 12 + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def qualification(
    register: Register, person: str, process: str, day: date, welds: Iterable[Weld]
) -> dict[str, Any]:
    """What a signature on a weld step keeps of it: the value of ``qualification`` in the event."""
    validity = valid_on(register, person, process, day, welds)
    return {
        "process": process,
        "on": day.isoformat(),
        "valid": validity.valid,
        "until": validity.until.isoformat() if validity.until else None,
        "reason": validity.reason,
    }


def process_of(state: JobState, step: StepPlan) -> str | None:
    """ISO 4063 number of the process of a weld step's joint."""
    return process_in(step.kind, step.joints, map(dict, state.plan.joints))


def process_in(kind: str, of_step: Iterable[str], joints: Iterable[Mapping[str, str]]) -> str | None:
    """The same from the kind of a step, the ids of its joints and the joints of the plan."""
    wanted = set(of_step) if kind == "weld" else set()
    return next((joint["process"].split()[0] for joint in joints if joint["id"] in wanted), None)


def weld_days(state: JobState, step: StepPlan, every_attempt: bool = False) -> tuple[date, ...]:
    """The days on which runs were laid in a weld step, by when they are said to have happened.

    Those of the current attempt, which a signature is about, or of ``every_attempt``.
    """
    days = {
        datetime.fromisoformat(reading.moment.happened_at).date()
        for reading in state.readings
        if reading.key[:2] == (step.number, ARC_ENERGY) and not reading.superseded
        if every_attempt or reading.attempt == state.attempt(reading.key)
    }
    return tuple(sorted(days))


def welds_of(states: Iterable[JobState], person: Person) -> Iterator[Weld]:
    """Every day on which a person welded in these jobs, with the process.

    Of whole jobs; ``weld_log`` says the same from the few events that matter. A person welded in a step who signed it
    as performed or is named in it as a welder. A step without recorded runs counts on the day of the signature.
    """
    for state in states:
        for step in state.plan.steps:
            process = process_of(state, step)
            signed = [entry for entry in state.performed_of(step.number) if entry.by.is_same_as(person)]
            if process is None or not (signed or _is_named(state, step, person)):
                continue
            for day in weld_days(state, step, every_attempt=True) or _signing_days(signed):
                yield process, day


def _signing_days(signed: Iterable[Signature]) -> tuple[date, ...]:
    return tuple(datetime.fromisoformat(entry.moment.happened_at).date() for entry in signed)


def _is_named(state: JobState, step: StepPlan, person: Person) -> bool:
    return any(names_person(person, text) for text in welders_named(state, step))


def welders_named(state: JobState, step: StepPlan) -> tuple[str, ...]:
    """Who is entered as a welder in a step, as typed; entries taken back are not in it."""
    return tuple(
        reading.value
        for reading in state.readings
        if reading.key[:2] == (step.number, WELDER) and not reading.superseded
    )


def welders_since_rework(state: JobState, step: StepPlan) -> tuple[str, ...]:
    """Who is entered as having laid the runs that count: after rework those who were entered since."""
    return tuple(
        reading.value
        for reading in state.readings
        if reading.key[:2] == (step.number, WELDER)
        and not reading.superseded
        and reading.counts_from_seq > state.reworked_at(step.number)
    )


def names_person(person: Person, text: str) -> bool:
    """Whether a name or an id as typed is this person's."""
    if person.id is not None and text.strip().casefold() == person.id.casefold():
        return True
    return person.is_same_as(Person(text)) and plain_name(text) != ""


def may_name_person(person: Person, text: str) -> bool:
    """Whether a text names this person, alone or among others: "W. Two / I. Okafor (P3)"."""
    parts = (text, *BETWEEN_NAMES.split(text))
    return any(names_person(person, part) for part in parts if part.strip())
