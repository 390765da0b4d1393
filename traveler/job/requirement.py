"""A requirement is data: limits as their source prints them, every method behind them, the evidence that shows it."""

from dataclasses import dataclass
from typing import Literal

from traveler.library.model import Role
from traveler.metals.outcome import Source, Status
from traveler.quantity.quantity import Quantity

Bound = Literal["at_least", "at_most"]
Type = Literal["number", "choice", "text"]
Verdict = Literal["met", "conditional", "not met", "not shown"]


@dataclass(frozen=True, slots=True)
class Basis:
    """One method's answer to one bound of a requirement, with its working.

    ``value`` is decimal text in ``unit`` (a unit symbol), None where the method says nothing; where the answer is a
    band it is the lower end, and ``value_to`` the upper one. ``member`` names the material it was computed for.
    ``working`` holds inputs and contributions as (words, value) pairs.
    """

    method: str
    bound: Bound | None
    role: Role
    status: Status
    value: str | None
    unit: str | None
    source: Source
    reasons: tuple[str, ...] = ()
    member: str | None = None
    working: tuple[tuple[str, str], ...] = ()
    value_to: str | None = None


@dataclass(frozen=True, slots=True)
class Evidence:
    """What shows that a requirement is met: how many readings at distinct places, where, how long to wait, with what.

    ``per_run``: a reading before (temperature) or of (arc energy) each run of weld. ``good_for_s``: seconds within
    which the arc must start after a reading, else it is repeated; what reading that is for stands in ``where``.
    """

    readings: int = 1
    where: str = ""
    wait_s: int | None = None
    instruments: tuple[str, ...] = ()
    per_run: bool = False
    good_for_s: int | None = None


@dataclass(frozen=True, slots=True)
class Requirement:
    """One quantity of a step with both its bounds, frozen with the revision.

    ``undetermined``: no governing method gave a limit, so nothing can meet it until the engineer settles it.
    For a choice ``options`` are what may be recorded and ``accepts`` those that comply; for a text ``accepts`` may
    name the only text that complies (a heat number), else any text does. ``would_change``: a change in words and the
    limit it would give, for the engineer who weighs it.
    """

    quantity: str
    type: Type
    unit: str | None = None
    at_least: Quantity | None = None
    at_most: Quantity | None = None
    governed_at_least: str | None = None
    governed_at_most: str | None = None
    evidence: Evidence = Evidence()
    basis: tuple[Basis, ...] = ()
    joint: str | None = None
    options: tuple[str, ...] = ()
    accepts: tuple[str, ...] = ()
    undetermined: bool = False
    why: str = ""
    would_change: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Point:
    """A hold or a witness point of a step: who is waited for.

    A hold never lapses. A witness point lapses ``notice`` after the party was notified; without a notice it does not.
    """

    number: int
    kind: Literal["hold", "witness"]
    party: str
    notice: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Outside:
    """Work of a step that is given to a vendor: on which order, and the papers that are to come back with it."""

    vendor: str
    order: str | None = None
    returns: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepPlan:
    """One step: what it needs, the conflicts that block it, and notes for the person who does it.

    ``chart_limits``: further limits that a recorded chart of the step is held against, and nothing that is read by
    hand: the temperature above which rates count, the spread between places. ``outside``: None for work of this shop.
    """

    number: int
    kind: str
    title: str
    joints: tuple[str, ...]
    requirements: tuple[Requirement, ...]
    conflicts: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    chart_limits: tuple[Requirement, ...] = ()
    points: tuple[Point, ...] = ()
    outside: Outside | None = None

    def requirement_id(self, requirement: Requirement) -> str:
        """ "40.preheat temperature", with the joint between where the step covers several joints."""
        joint = f"{requirement.joint}." if requirement.joint and len(self.joints) > 1 else ""
        return f"{self.number}.{joint}{requirement.quantity}"


@dataclass(frozen=True, slots=True)
class Plan:
    """A planned job: its steps in order, and what is wrong or worth a warning about the job as a whole.

    ``subject`` describes the job's metals, fillers and joints as printable text (see ``plan_json``).
    ``decision_rule``: the one that the sheet names, None where the shop's counts. ``self_inspection``: whoever
    performed a step may accept it, which prints. ``made_from``: number of the job that is made again.
    ``quantity``: how many pieces go through the job together; ``serials``: theirs, none or one each.
    """

    number: str
    title: str
    part: str | None
    units: str
    decides: str
    steps: tuple[StepPlan, ...]
    conflicts: tuple[str, ...]
    cautions: tuple[str, ...]
    materials: tuple[tuple[tuple[str, str], ...], ...]
    fillers: tuple[tuple[tuple[str, str], ...], ...]
    joints: tuple[tuple[tuple[str, str], ...], ...]
    decision_rule: str | None = None
    self_inspection: bool = False
    made_from: str | None = None
    quantity: int = 1
    serials: tuple[str, ...] = ()

    @property
    def all_conflicts(self) -> tuple[str, ...]:
        """The job's conflicts and the steps', each sentence once with the steps that it blocks."""
        steps: dict[str, list[str]] = {}
        for step in self.steps:
            for conflict in step.conflicts:
                steps.setdefault(conflict, []).append(str(step.number))
        blocked = (
            f"step{'s' if len(numbers) > 1 else ''} {', '.join(numbers)}: {conflict}"
            for conflict, numbers in steps.items()
        )
        return (*self.conflicts, *blocked)
