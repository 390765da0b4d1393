"""The state of a job: what the events say so far. Built by ``fold``, never changed in place."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from traveler.job.requirement import Plan, Requirement, StepPlan, Verdict

LATE_AFTER = timedelta(minutes=30)
"""An entry written this long after it happened is called late (our own rule, no published source)."""

Key = tuple[int, str, str | None]
"""A requirement within a job: step number, quantity, joint."""


@dataclass(frozen=True, slots=True)
class Person:
    """Who did it, and how that is known: ``stated`` until people are registered."""

    name: str
    how: str = "stated"

    def is_same_as(self, other: "Person") -> bool:
        """Names as stated are compared without regard to case, spacing and how their characters are composed."""
        return _plain_name(self.name) == _plain_name(other.name)


def _plain_name(name: str) -> str:
    # One keyboard sends "ë" as one character, another as two; an invisible one must not make another person.
    visible = "".join(character for character in name if unicodedata.category(character) != "Cf")
    return " ".join(unicodedata.normalize("NFKC", visible).casefold().split())


@dataclass(frozen=True, slots=True)
class Moment:
    """When it happened and when it was written, both ISO 8601 with offset, and its place in the log."""

    happened_at: str
    recorded_at: str
    seq: int


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as recorded. ``value`` and ``unit`` as typed (unit None for a choice or a text).

    ``superseded_by`` is the number of the correcting reading; a reading taken back without a new value has
    ``reason`` but no ``superseded_by``. ``counts_from_seq`` is the place in the log of the first of a chain of
    corrections: a corrected typing error keeps the place of the reading it corrects.
    ``chart``: number of the chart that it was taken from, with the verdict that the chart's judge gave it and why;
    ``places``: how many places of the part it is the worst of, more than one where a chart has several couples.
    """

    number: int
    key: Key
    value: str
    unit: str | None
    typed: str
    attempt: int
    run: int | None
    place: str | None
    instrument: str | None
    by: Person
    moment: Moment
    counts_from_seq: int
    superseded: bool = False
    superseded_by: int | None = None
    reason: str | None = None
    chart: int | None = None
    chart_verdict: Verdict | None = None
    chart_reason: str = ""
    places: int = 1

    @property
    def is_late(self) -> bool:
        """Written long after it happened. A correction is not: it speaks of the time of the entry it corrects.

        Nor is what a logger wrote down when it happened.
        """
        if self.chart is not None:
            return False
        happened, recorded = map(datetime.fromisoformat, (self.moment.happened_at, self.moment.recorded_at))
        return self.counts_from_seq == self.moment.seq and recorded - happened > LATE_AFTER


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature on a step: performed or accepted, over the content it was shown."""

    step: int
    meaning: str
    by: Person
    moment: Moment
    revision: int
    content: str
    runs: int | None = None
    out_of_order: tuple[int, ...] = ()
    verdicts: Mapping[str, str] = field(default_factory=dict)

    @property
    def missed(self) -> str:
        """The earlier steps that nobody had signed as performed: "step 10" or "steps 10, 20"."""
        plural = "s" if len(self.out_of_order) > 1 else ""
        return f"step{plural} {', '.join(str(number) for number in self.out_of_order)}"


@dataclass(frozen=True, slots=True)
class Retry:
    """A preheat tried again: from this place in the log a new attempt counts."""

    key: Key
    attempt: int
    because: str
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class Revision:
    """One issue of the traveler; ``sheet`` is the text of the job sheet that it was planned from."""

    number: int
    plan: Plan
    program: str
    because: str | None
    by: Person
    moment: Moment
    sheet: str = ""


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file kept with the job, by its SHA-256."""

    name: str
    role: str
    sha256: str
    size: int
    step: int
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class ChartRecord:
    """A recorded chart as it was judged when it came in.

    ``limits`` is the digest of the numbers it was held against; ``act`` all that was kept of it (see
    ``traveler.chart.record``); ``criteria`` the judged criteria out of it. A chart taken back has ``reason`` and, where
    another reading of the file stands in its place, ``superseded_by``.
    """

    number: int
    step: int
    kind: str
    name: str
    sha256: str
    verdict: Verdict
    limits: str
    act: Mapping[str, Any]
    by: Person
    moment: Moment
    superseded: bool = False
    superseded_by: int | None = None
    reason: str | None = None

    @property
    def criteria(self) -> tuple[Mapping[str, Any], ...]:
        """The criteria as they were judged."""
        return tuple(self.act["criteria"])


@dataclass(frozen=True, slots=True)
class Ending:
    """The job was closed, or cancelled for a reason."""

    by: Person
    moment: Moment
    because: str | None = None


@dataclass(frozen=True, slots=True)
class JobState:
    """Everything the events of one job say."""

    revisions: tuple[Revision, ...]
    readings: tuple[Reading, ...] = ()
    retries: tuple[Retry, ...] = ()
    performed: tuple[Signature, ...] = ()
    accepted: tuple[Signature, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    charts: tuple[ChartRecord, ...] = ()
    closed: Ending | None = None
    cancelled: Ending | None = None
    events: int = 0
    head: str = ""
    last_moment: Moment | None = None

    @property
    def plan(self) -> Plan:
        """The plan of the current revision."""
        return self.revisions[-1].plan

    @property
    def revision(self) -> int:
        """Number of the current revision."""
        return self.revisions[-1].number

    def step(self, number: int) -> StepPlan | None:
        """The step of that number in the current revision."""
        return next((step for step in self.plan.steps if step.number == number), None)

    def attempt(self, key: Key) -> int:
        """The attempt that counts now: 1 until a preheat is tried again."""
        return max((retry.attempt for retry in self.retries if retry.key == key), default=1)

    def readings_of(self, step: StepPlan, requirement: Requirement) -> tuple[Reading, ...]:
        """Every reading of a requirement, superseded ones and earlier attempts too, in order of writing."""
        key = (step.number, requirement.quantity, requirement.joint)
        return tuple(reading for reading in self.readings if reading.key == key)

    def standing(self, step: StepPlan, requirement: Requirement) -> tuple[Reading, ...]:
        """The readings that count: not superseded, of the current attempt."""
        attempt = self.attempt((step.number, requirement.quantity, requirement.joint))
        return tuple(
            reading
            for reading in self.readings_of(step, requirement)
            if not reading.superseded and reading.attempt == attempt
        )

    def charts_of(self, step: int) -> tuple[ChartRecord, ...]:
        """Every chart of a step, taken back or not, in order of writing."""
        return tuple(chart for chart in self.charts if chart.step == step)

    def performed_of(self, step: int) -> tuple[Signature, ...]:
        """Every "performed" signature of a step, in order."""
        return tuple(signature for signature in self.performed if signature.step == step)

    def accepted_of(self, step: int) -> Signature | None:
        """The latest acceptance of a step, whether or not its content still is what was accepted."""
        return next((signature for signature in reversed(self.accepted) if signature.step == step), None)

    def runs_recorded(self, joint: str) -> dict[int, int]:
        """Runs of weld recorded on a joint: run number to its place in the log.

        A run is recorded by its arc energy. A correction keeps the place of what it corrects.
        """
        runs: dict[int, int] = {}
        for reading in self.readings:
            _, quantity, of_joint = reading.key
            if quantity == ARC_ENERGY and of_joint == joint and reading.run and not reading.superseded:
                # A correction has a higher number and an earlier place than an entry made in between.
                place = reading.counts_from_seq
                runs[reading.run] = min(runs.get(reading.run, place), place)
        return runs


ARC_ENERGY = "arc energy"
INTERPASS = "interpass temperature"
PREHEAT = "preheat temperature"
