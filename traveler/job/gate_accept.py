"""May this step be accepted, and may the job be closed?"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from traveler.job.acceptance import ENDED_WORDS, acceptance_stands, endings
from traveler.job.concession import conceded_by, qualification_conceded
from traveler.job.decision_rule import blocks
from traveler.job.four_eyes import lacks_role, own_work
from traveler.job.gate_finishing import out_of_order
from traveler.job.gate_pieces import against_closing_pieces, held
from traveler.job.judge import judge
from traveler.job.judge_chart import chart_faults
from traveler.job.lots_against import against_lots
from traveler.job.outside import Takes, against_outside
from traveler.job.person import MAY_ACCEPT, Person
from traveler.job.points import open_points
from traveler.job.questions import question_on, waits_for_answer
from traveler.job.requirement import Requirement, StepPlan, Verdict
from traveler.job.state import JobState, Reading, Signature


@dataclass(frozen=True, slots=True)
class Against:
    """What stands against accepting a step, whoever asks, kind by kind; each entry a sentence.

    ``outside`` with what each reason about work at a vendor takes; ``unmet`` with the verdict of each requirement that
    is not met, or not shown; ``again``: what was shown before it should have been, or is not shown at another step.
    """

    conflicts: tuple[str, ...]
    outside: tuple[tuple[Takes, str], ...]
    held: tuple[str, ...]
    unmet: tuple[tuple[Verdict, str], ...]
    again: tuple[str, ...]
    charts: tuple[str, ...]
    nonconforming: tuple[str, ...]
    in_question: tuple[str, ...]
    out_of_sequence: tuple[str, ...]
    lots: tuple[str, ...]
    not_yet: tuple[str, ...]
    points: tuple[str, ...]
    signing: tuple[str, ...]
    not_qualified: tuple[str, ...]

    @property
    def reasons(self) -> list[str]:
        """All of it, what is about the work before what is about signing it."""
        outside = tuple(sentence for _, sentence in self.outside)
        unmet = tuple(sentence for _, sentence in self.unmet)
        return [
            *(self.conflicts + self.held + outside + unmet + self.again + self.charts + self.nonconforming),
            *self.in_question,
            *(
                self.out_of_sequence
                + self.lots
                + self.not_yet
                + self.points
                + self.signing
                + self.not_qualified
            ),
        ]

    def takes(self, chart_verdicts: Iterable[Verdict]) -> Literal["decision", "readings", "signature"]:
        """What it takes first: a decision where something stands against the step that work alone does not clear,
        then readings, else signatures. ``chart_verdicts``: those of the step's standing charts.
        """
        verdicts = [verdict for verdict, _ in self.unmet] + (list(chart_verdicts) if self.charts else [])
        trust = (
            self.held
            + self.nonconforming
            + self.in_question
            + self.out_of_sequence
            + self.lots
            + self.not_qualified
        )
        vendor = {takes for takes, _ in self.outside}
        if self.conflicts or trust or "not met" in verdicts or "decision" in vendor:
            return "decision"
        if "receipt" in vendor:
            return "signature"
        return "readings" if self.unmet or self.again or self.charts or "sending" in vendor else "signature"


def against_step(state: JobState, step: StepPlan, now: datetime) -> Against:
    """What stands against accepting a step at ``now``, whoever asks."""
    return Against(
        conflicts=tuple(f"conflict: {conflict}" for conflict in step.conflicts),
        outside=tuple(against_outside(state, step)),
        held=tuple(held(state, step)),
        unmet=tuple(_unmet(state, step)),
        again=tuple(out_of_order(state, step)),
        charts=tuple(chart_faults(state, step)),
        nonconforming=tuple(_nonconforming(state, step)),
        in_question=tuple(_in_question(state, step)),
        out_of_sequence=tuple(_out_of_sequence(state, step)),
        lots=tuple(against_lots(state, step)),
        not_yet=tuple(_not_yet(state, step, now)),
        points=tuple(open_points(state, step, now)),
        signing=tuple(_signing_order(state, step)),
        not_qualified=tuple(_not_qualified(state, step)),
    )


def against_acceptance(state: JobState, number: int, person: Person | None, now: datetime) -> Sequence[str]:
    """Every reason against accepting a step; without a person only the step itself is asked."""
    step = state.step(number)
    if step is None:
        return [f"there is no step {number}"]
    reasons = [*against_step(state, step, now).reasons, *_wrong_person(state, step, person)]
    if acceptance_stands(state, step):
        reasons.append("already accepted")
    return reasons


def _unmet(state: JobState, step: StepPlan) -> Iterator[tuple[Verdict, str]]:
    for requirement in step.requirements:
        judgement = judge(state, step, requirement)
        if blocks(judgement.verdict, state.decision_rule) and not judgement.settled:
            said = f"{named(step, requirement)} {judgement.verdict}: {judgement.reason}"
            yield judgement.verdict, said


def named(step: StepPlan, requirement: Requirement) -> str:
    """The quantity, with its joint where the step covers several."""
    if requirement.joint and len(step.joints) > 1:
        return f"{requirement.quantity} of {requirement.joint}"
    return requirement.quantity


def _not_yet(state: JobState, step: StepPlan, now: datetime) -> list[str]:
    return [
        f"reading {reading.number} is said to happen at {reading.moment.happened_at}, which is still to come"
        for requirement in step.requirements
        for reading in state.dated_after(step, requirement, now)
    ]


def _signing_order(state: JobState, step: StepPlan) -> list[str]:
    reasons = []
    performed = state.performed_of(step.number)
    if not performed:
        reasons.append("not yet signed as performed")
    elif performed[-1].out_of_order:
        then = "that is" if len(performed[-1].out_of_order) == 1 else "they are"
        reasons.append(
            f"signed as performed ahead of {performed[-1].missed}; sign again when {then} performed"
        )
    elif performed[-1].moment.seq < state.reworked_at(step.number):
        reasons.append("signed as performed before it was reworked; sign again")
    else:
        reasons += _work_since(state, step, performed[-1])
    waiting = next(
        (
            earlier.number
            for earlier in state.plan.steps
            if earlier.number < step.number and not acceptance_stands(state, earlier)
        ),
        None,
    )
    if waiting is not None:
        reasons.append(f"step {waiting} comes first and is not accepted")
    return reasons


def _work_since(state: JobState, step: StepPlan, signed: Signature) -> list[str]:
    """Runs of weld, and who laid them, that the signature on the work cannot have been about.

    Nor was the welder's qualification asked for them. The correction of a run is about the run that was signed.
    """
    if step.kind != "weld":
        return []
    return [
        f"reading {reading.number} ({reading.key[1]}) was recorded after the step was signed as performed; sign again"
        for requirement in step.requirements
        for reading in state.standing(step, requirement)
        if _attested_from(reading) > signed.moment.seq
    ]


def _attested_from(reading: Reading) -> int:
    """From which place in the log on a signature on the work is about what a reading says of it."""
    match reading.key[1]:
        case "welder":
            return reading.moment.seq
        case "arc energy":
            return reading.counts_from_seq
    return 0


def _nonconforming(state: JobState, step: StepPlan) -> list[str]:
    of_step = state.nonconformances_of(step.number)
    reasons = [
        f"nonconformance {entry.number} is {entry.status}: {entry.what}" for entry in of_step if entry.is_open
    ]
    reasons += [
        f"{ENDED_WORDS[str(entry.disposition)]} by nonconformance {entry.number}: {entry.what}"
        for entry in endings(state)
        if entry.step == step.number
    ]
    return reasons


def _in_question(state: JobState, step: StepPlan) -> list[str]:
    if not state.questions:
        return []
    return [
        f"reading {reading.number} is in question: {question_on(state, reading.number)}"
        for requirement in step.requirements
        for reading in state.standing(step, requirement)
        if waits_for_answer(state, reading.number)
    ]


def _out_of_sequence(state: JobState, step: StepPlan) -> list[str]:
    return [
        f"reading {reading.number} was taken ahead of step {reading.out_of_order[0]}: that takes a nonconformance"
        for requirement in step.requirements
        for reading in state.standing(step, requirement)
        if reading.out_of_order and conceded_by(state, step, requirement, reading.number) is None
    ]


def _not_qualified(state: JobState, step: StepPlan) -> list[str]:
    """Judged on the day of the weld, as it was known when the work was signed."""
    return [
        f"{signature.qualification.get('name', signature.by.name)} was not qualified: "
        f"{signature.qualification['reason']}"
        for signature in state.performed_of(step.number)
        if signature.qualification is not None
        and not signature.qualification["valid"]
        and signature.moment.seq > state.reworked_at(step.number)
        and not qualification_conceded(state, step, signature)
    ]


def _wrong_person(state: JobState, step: StepPlan, person: Person | None) -> list[str]:
    if person is None:
        return []
    work, lacks = own_work(state, step, person), lacks_role(person, MAY_ACCEPT, "an acceptance")
    return [
        *([f"{work}; another person must accept it"] if work else []),
        *([lacks] if lacks else []),
    ]


def against_closing(state: JobState, person: Person | None, counted: int | None = None) -> Sequence[str]:
    """Every reason against closing the job; without a person only the job itself is asked.

    ``counted``: how many pieces are accepted, as counted; None where that is not asked yet.
    """
    reasons = [f"conflict: {conflict}" for conflict in state.plan.conflicts]
    reasons += [
        f"step {step.number} {step.kind} is not accepted"
        for step in state.plan.steps
        if not acceptance_stands(state, step)
    ]
    reasons += [
        f"nonconformance {entry.number} is {entry.status}: {entry.what}"
        for entry in state.nonconformances
        if entry.is_open
    ]
    reasons += against_closing_pieces(state, counted)
    if person is not None and (lacks := lacks_role(person, MAY_ACCEPT, "closing a job")):
        reasons.append(lacks)
    return reasons
