"""The state of a job: what the events say so far. Built by ``fold``, never changed in place."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from traveler.job.decided import Answer, Nonconformance, NotApplicable, PointAct, Question
from traveler.job.decision_rule import SIMPLE_ACCEPTANCE as SIMPLE_ACCEPTANCE
from traveler.job.instrument_state import InstrumentState
from traveler.job.person import Moment as Moment
from traveler.job.person import Person as Person
from traveler.job.pieces import Batch
from traveler.job.quantities import ARC_ENERGY as ARC_ENERGY
from traveler.job.quantities import INTERPASS as INTERPASS
from traveler.job.quantities import PREHEAT as PREHEAT
from traveler.job.reading_index import ReadingIndex
from traveler.job.requirement import Bound, Plan, Requirement, StepPlan, Verdict
from traveler.job.sending import Sending
from traveler.job.workings import Workings

LATE_AFTER = timedelta(minutes=30)
"""An entry written this long after it happened is called late (our own rule, no published source)."""


def is_late(moment: Moment) -> bool:
    """Written long after it happened."""
    if moment.happened_at == moment.recorded_at:
        return False
    happened, recorded = map(datetime.fromisoformat, (moment.happened_at, moment.recorded_at))
    return recorded - happened > LATE_AFTER


Key = tuple[int, str, str | None]
"""A requirement within a job: step number, quantity, joint."""


class Reading(NamedTuple):
    """A reading as recorded. ``value`` and ``unit`` as typed (unit None for a choice or a text).

    A tuple, since a job may have thousands of them, and making a frozen dataclass takes several times as long.

    ``superseded_by`` is the number of the correcting reading; a reading taken back without a new value has
    ``reason`` but no ``superseded_by``. ``counts_from_seq`` is the place in the log of the first of a chain of
    corrections: a corrected typing error keeps the place of the reading it corrects.
    ``chart``: number of the chart that it was taken from, with the verdict that the chart's judge gave it and why;
    ``places``: how many places of the part it is the worst of, more than one where a chart has several couples.
    ``chart``: number of the chart that it was taken from, with the verdict that the chart's judge gave it and why.
    ``bound``: a temperature crayon that melted shows ``at_least`` its mark, one that held ``at_most``; None else.
    ``names_instrument``: it was taken in a shop with a register of such instruments, ``instrument_state`` being the
    instrument as it stood then, None where none of the register was named. ``out_of_order``: earlier steps that nobody
    had signed as performed when it was taken, where the shop minds that.
    ``lot``: the lot of the register that a heat number or a filler lot names, as it stood then (see ``lots``).
    ``reported_by``: the vendor out of whose papers the value was taken, None where it was read here.
    The last three are no part of the log; the judge works them out: the verdict that follows from the instrument, why,
    and the nonconformance that lets the reading stand.
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
    bound: Bound | None = None
    names_instrument: bool = False
    instrument_state: InstrumentState | None = None
    lot: Mapping[str, Any] | None = None
    out_of_order: tuple[int, ...] = ()
    reported_by: str | None = None
    instrument_verdict: Verdict | None = None
    instrument_reason: str = ""
    conceded_by: int | None = None

    @property
    def given_verdict(self) -> Verdict | None:
        """The verdict by what took the reading, where that says more than the value: instrument first, then chart."""
        return self.chart_verdict if self.instrument_verdict is None else self.instrument_verdict

    @property
    def given_reason(self) -> str:
        """Why it has that verdict."""
        return self.chart_reason if self.instrument_verdict is None else self.instrument_reason

    @property
    def shows(self) -> bool:
        """Whether it is evidence at all: by its instrument and its chart, or because it was let stand."""
        return self.given_verdict != "not shown" or self.conceded_by is not None

    @property
    def is_late(self) -> bool:
        """Written long after it happened. A correction is not: it speaks of the time of the entry it corrects.

        Nor is what a logger wrote down when it happened.
        """
        return self.chart is None and self.counts_from_seq == self.moment.seq and is_late(self.moment)


@dataclass(frozen=True, slots=True)
class Signature:
    """A signature on a step: performed or accepted, over the content it was shown.

    ``qualification``: of who welds, for the process on the day of the weld, as it was known when it was signed
    (see ``qualification``). ``session``: where it was signed from. ``others``: who did it together with the signer.
    """

    step: int
    meaning: str
    by: Person
    moment: Moment
    revision: int
    content: str
    runs: int | None = None
    out_of_order: tuple[int, ...] = ()
    verdicts: Mapping[str, str] = field(default_factory=dict)
    qualification: Mapping[str, Any] | None = None
    session: Mapping[str, Any] | None = None
    others: tuple[Person, ...] = ()

    @property
    def performers(self) -> tuple[Person, ...]:
        """Of a step that was performed: the signer and those named with them."""
        return (self.by, *self.others)

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
    """One issue of the traveler; ``sheet`` is the text of the job sheet that it was planned from.

    ``shop_name``: as the shop called itself then; None where it had no name. ``made_from``: the job that is made again,
    with its ``revision`` and ``code`` as they stood when this was issued, None where the shop did not have it.
    """

    number: int
    plan: Plan
    program: str
    because: str | None
    by: Person
    moment: Moment
    sheet: str = ""
    decision_rule: str = SIMPLE_ACCEPTANCE
    shop_name: str | None = None
    made_from: Mapping[str, Any] | None = None


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
    """Everything the events of one job say.

    ``own_work``: by the number of an event, what of the work it decides about was done by the same person, in words.
    ``set_back``: pairs of neighbours in the log of which the second was written at an earlier time than the first.
    ``batch``: its pieces. Of a job that was split off the history before the split is that of the job it came from, its
    events first in order; ``events`` counts the job's own.
    ``workings`` is no part of what they say; it keeps what was worked out of them.
    """

    revisions: tuple[Revision, ...]
    readings: tuple[Reading, ...] = ()
    retries: tuple[Retry, ...] = ()
    performed: tuple[Signature, ...] = ()
    accepted: tuple[Signature, ...] = ()
    attachments: tuple[Attachment, ...] = ()
    charts: tuple[ChartRecord, ...] = ()
    points: tuple[PointAct, ...] = ()
    nonconformances: tuple[Nonconformance, ...] = ()
    questions: tuple[Question, ...] = ()
    answers: tuple[Answer, ...] = ()
    not_applicable: tuple[NotApplicable, ...] = ()
    sendings: tuple[Sending, ...] = ()
    set_back: tuple[tuple[Moment, Moment], ...] = ()
    own_work: Mapping[int, str] = field(default_factory=dict)
    batch: Batch = field(default_factory=Batch)
    closed: Ending | None = None
    cancelled: Ending | None = None
    events: int = 0
    head: str = ""
    last_moment: Moment | None = None
    workings: Workings = field(default_factory=Workings, compare=False, repr=False)

    @property
    def plan(self) -> Plan:
        """The plan of the current revision."""
        return self.revisions[-1].plan

    @property
    def revision(self) -> int:
        """Number of the current revision."""
        return self.revisions[-1].number

    @property
    def decision_rule(self) -> str:
        """What is done about a reading that its instrument's uncertainty reaches beyond the limit."""
        return self.revisions[-1].decision_rule

    @property
    def index(self) -> ReadingIndex:
        """The readings by what they are readings of."""
        return self.workings.index(self.readings)

    def step(self, number: int) -> StepPlan | None:
        """The step of that number in the current revision."""
        return next((step for step in self.plan.steps if step.number == number), None)

    def attempt(self, key: Key) -> int:
        """The attempt that counts now: 1 until a preheat is tried again."""
        if not self.retries:
            return 1
        return max((retry.attempt for retry in self.retries if retry.key == key), default=1)

    def readings_of(self, step: StepPlan, requirement: Requirement) -> tuple[Reading, ...]:
        """Every reading of a requirement, superseded ones and earlier attempts too, in order of writing."""
        return self.index.of_requirement((step.number, requirement.quantity, requirement.joint))

    def standing(self, step: StepPlan, requirement: Requirement) -> tuple[Reading, ...]:
        """The readings that count: not superseded, of the current attempt."""
        key = (step.number, requirement.quantity, requirement.joint)
        return self.index.standing(key, self.attempt(key))

    def dated_after(self, step: StepPlan, requirement: Requirement, now: datetime) -> list[Reading]:
        """The readings that count and are said to happen later than ``now``."""
        if not self.any_dated_after(now):
            return []
        return [
            reading
            for reading in self.standing(step, requirement)
            if datetime.fromisoformat(reading.moment.happened_at) > now
        ]

    def any_dated_after(self, now: datetime) -> bool:
        """Whether a reading, standing or not, is said to happen later than ``now``."""
        latest = self.index.latest_at
        return latest is not None and latest > now

    def charts_of(self, step: int) -> tuple[ChartRecord, ...]:
        """Every chart of a step, taken back or not, in order of writing."""
        return tuple(chart for chart in self.charts if chart.step == step)

    def nonconformances_of(self, step: int) -> tuple[Nonconformance, ...]:
        """Every nonconformance of a step, whatever became of it, in order of opening."""
        return tuple(entry for entry in self.nonconformances if entry.step == step)

    def nonconformance(self, number: int) -> Nonconformance | None:
        """The nonconformance of that number."""
        return next((entry for entry in self.nonconformances if entry.number == number), None)

    def reworked_at(self, step: int) -> int:
        """Place in the log at which rework of a step was last approved: what it held before is an earlier attempt."""
        return max(
            (
                proposal.decision.moment.seq
                for entry in self.nonconformances_of(step)
                for proposal in entry.proposals
                if proposal.disposition == "rework" and proposal.decision and proposal.decision.approved
            ),
            default=0,
        )

    def sendings_of(self, step: int) -> tuple[Sending, ...]:
        """Every sending of a step to a vendor, called off or not, in order."""
        return tuple(sending for sending in self.sendings if sending.step == step)

    def sending(self, step: int, number: int) -> Sending | None:
        """The sending of that number of a step."""
        return next((sending for sending in self.sendings_of(step) if sending.number == number), None)

    def performed_of(self, step: int) -> tuple[Signature, ...]:
        """Every "performed" signature of a step, in order."""
        return tuple(signature for signature in self.performed if signature.step == step)

    def accepted_of(self, step: int) -> Signature | None:
        """The latest acceptance of a step, whether or not its content still is what was accepted."""
        return next((signature for signature in reversed(self.accepted) if signature.step == step), None)

    def runs_recorded(self, joint: str) -> Mapping[int, int]:
        """Runs of weld recorded on a joint: run number to its place in the log.

        A run is recorded by its arc energy. A correction keeps the place of what it corrects. After rework of the weld
        the runs are counted anew.
        """
        recorded = self.index.of_quantity(ARC_ENERGY, joint)
        return self.workings.known(
            ("runs", joint), (recorded, self.retries), lambda: self._runs_among(recorded)
        )

    def _runs_among(self, recorded: tuple[Reading, ...]) -> Mapping[int, int]:
        runs: dict[int, int] = {}
        for reading in recorded:
            if not reading.run or reading.superseded:
                continue
            if reading.attempt == self.attempt(reading.key):
                # A correction has a higher number and an earlier place than an entry made in between.
                place = reading.counts_from_seq
                runs[reading.run] = min(runs.get(reading.run, place), place)
        return runs

    def welded_since(self, joint: str, seq: int) -> bool:
        """Whether a run of weld was recorded on a joint, in whichever attempt, later in the log than ``seq``."""
        return any(
            not reading.superseded and reading.counts_from_seq > seq
            for reading in self.index.of_quantity(ARC_ENERGY, joint)
        )
