"""A plan taken apart into facts that can be laid beside those of another: limits, evidence, notes, steps."""

from collections import Counter
from collections.abc import Hashable, Iterator
from dataclasses import dataclass

from traveler.job.requirement import Outside, Plan, Point, Requirement, StepPlan
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import show_both

OF_ONE_JOINT = ("preheat", "weld", "hydrogen release")
AT_LEAST, AT_MOST = "minimum", "maximum"
STEP, ASKED, DETERMINED = "step", "asked for", "determined"
READINGS, EACH_RUN, WAIT, GOOD_FOR = "readings", "in each run", "wait before reading", "good for"
ANSWERS, WHERE, WITH = "answers that comply", "where it is read", "what it is read with"
SET_BY = "set by"
CONFLICT, NOTE, POINT, CAUTION, AT_VENDOR = "conflict", "note", "point", "caution", "at a vendor"
PRESENCE = (STEP, ASKED, CONFLICT, NOTE, POINT, CAUTION, AT_VENDOR)
"""Aspects that are there or are not; the others have a value."""
NONE, ANY = "none", "any"
PREHEAT = "preheat temperature"

StepKey = tuple[str, tuple[str, ...], int]


@dataclass(frozen=True, slots=True)
class Fact:
    """What something is said of. ``step`` None for the job as a whole, ``quantity`` None for the step as a whole.

    ``text`` is the sentence of a conflict, note, point, caution or vendor: it is its own name.
    """

    step: StepKey | None
    quantity: str | None
    joint: str | None
    aspect: str
    text: str = ""


@dataclass(frozen=True, slots=True)
class Said:
    """What is said: ``value`` to compare, exact; ``words`` to read; ``number`` of the step in its plan."""

    value: Hashable
    words: str
    number: int | None = None
    limit: Quantity | None = None


def facts(plan: Plan) -> dict[Fact, Said]:
    """Every fact of a plan, in the order of its steps."""
    found = dict(_of_job(plan))
    for key, step in _keyed(plan):
        found.update(_of_step(key, step))
    return found


def _of_job(plan: Plan) -> Iterator[tuple[Fact, Said]]:
    rule = plan.decision_rule or "of the shop"
    yield Fact(None, None, None, "decision rule"), Said(rule, rule)
    own = "allowed" if plan.self_inspection else "not allowed"
    yield Fact(None, None, None, "self-inspection"), Said(own, own)
    yield Fact(None, None, None, "who answers for the limits"), Said(plan.decides, plan.decides)
    for aspect, sentences in ((CONFLICT, plan.conflicts), (CAUTION, plan.cautions)):
        for sentence in sentences:
            yield Fact(None, None, None, aspect, sentence), Said(True, sentence)


def _keyed(plan: Plan) -> Iterator[tuple[StepKey, StepPlan]]:
    """Steps by what they are, not by their number: an inserted step renumbers those behind it."""
    seen: Counter[tuple[str, tuple[str, ...]]] = Counter()
    for step in plan.steps:
        kind = step.kind, step.joints if step.kind in OF_ONE_JOINT else ()
        seen[kind] += 1
        yield (*kind, seen[kind]), step


def _of_step(key: StepKey, step: StepPlan) -> Iterator[tuple[Fact, Said]]:
    yield Fact(key, None, None, STEP), Said(True, step.title, step.number)
    for point in step.points:
        words = _point(point)
        yield Fact(key, None, None, POINT, words), Said(True, words, step.number)
    if step.outside is not None:
        words = _at_vendor(step.outside)
        yield Fact(key, None, None, AT_VENDOR, words), Said(True, words, step.number)
    for aspect, sentences in ((CONFLICT, step.conflicts), (NOTE, step.notes)):
        for sentence in sentences:
            yield Fact(key, None, None, aspect, sentence), Said(True, sentence, step.number)
    for requirements, of_a_chart in ((step.requirements, ""), (step.chart_limits, ", on a chart")):
        for requirement in requirements:
            quantity = f"{requirement.quantity}{of_a_chart}"
            for aspect, value, words, limit in _of_requirement(requirement):
                fact = Fact(key, quantity, requirement.joint, aspect)
                yield fact, Said(value, words, step.number, limit)


Aspect = tuple[str, Hashable, str, Quantity | None]


def _of_requirement(requirement: Requirement) -> Iterator[Aspect]:
    evidence = requirement.evidence
    yield ASKED, True, _asked(requirement), None
    for bound, limit in ((AT_LEAST, requirement.at_least), (AT_MOST, requirement.at_most)):
        size = None if limit is None else (limit.canonical, limit.unit.canonical_symbol)
        yield bound, size, NONE if limit is None else show_both(limit), limit
    if requirement.governed_at_least and requirement.quantity == PREHEAT:
        yield SET_BY, requirement.governed_at_least, requirement.governed_at_least, None
    yield (
        DETERMINED,
        not requirement.undetermined,
        "not determined" if requirement.undetermined else "yes",
        None,
    )
    answers = requirement.options, requirement.accepts
    yield ANSWERS, answers, " or ".join(requirement.accepts) or ANY, None
    yield READINGS, evidence.readings, str(evidence.readings), None
    yield EACH_RUN, evidence.per_run, "yes" if evidence.per_run else "no", None
    yield WAIT, evidence.wait_s, _seconds(evidence.wait_s), None
    yield GOOD_FOR, evidence.good_for_s, _seconds(evidence.good_for_s), None
    yield WHERE, evidence.where, evidence.where or NONE, None
    yield WITH, evidence.instruments, ", ".join(evidence.instruments) or "anything", None


def _asked(requirement: Requirement) -> str:
    limits = (("at least", requirement.at_least), ("at most", requirement.at_most))
    said = [f"{words} {show_both(limit)}" for words, limit in limits if limit is not None]
    return ", ".join(said) or requirement.why


def _seconds(seconds: int | None) -> str:
    return NONE if seconds is None else f"{seconds} s"


def _point(point: Point) -> str:
    notice = "" if point.notice is None else f", {point.notice.text} {point.notice.unit.label} after notice"
    return f"{point.kind} for the {point.party}{notice}"


def _at_vendor(outside: Outside) -> str:
    """The number of an order is of one job alone."""
    papers = f", with {', '.join(outside.returns)}" if outside.returns else ""
    return f"done by {outside.vendor}{papers}"
