"""What people decided about a job: releases, nonconformances, questioned readings, what does not apply."""

from dataclasses import dataclass
from typing import Literal

from traveler.job.person import Moment, Person

PointKind = Literal["released", "waived", "notified", "attended"]
Disposition = Literal["rework", "repair", "use as is", "scrap", "return", "regrade"]
NonconformanceStatus = Literal[
    "open", "proposed", "refused", "approved", "re-verified", "failed", "closed", "void"
]

REVERIFIED: tuple[Disposition, ...] = ("rework", "repair")
"""Work is done on the part, so it is looked at again before closing (ISO 9001 8.7.1 [secondary])."""

CONCESSIONS: tuple[Disposition, ...] = ("repair", "use as is", "regrade")
"""The part stays other than it was asked for: another person than the proposer approves (NQA-1 [memory])."""

ENDINGS: tuple[Disposition, ...] = ("scrap", "return")


@dataclass(frozen=True, slots=True)
class PointAct:
    """What a party did at a hold or witness point. ``covers``: digest of what the step held at that moment."""

    step: int
    point: int
    kind: PointKind
    party: str
    meaning: str
    by: Person
    moment: Moment
    covers: str
    because: str | None = None
    notice_h: int | str | None = None


@dataclass(frozen=True, slots=True)
class Decision:
    """The answer to a proposed disposition, and the revision that was in force."""

    approved: bool
    meaning: str
    because: str | None
    by: Person
    moment: Moment
    revision: int


@dataclass(frozen=True, slots=True)
class Proposal:
    """A disposition proposed, with the instruction that goes with it, and its answer once there is one.

    ``pieces``: how many of the job are scrapped or returned by it; None for what is about all of them.
    """

    disposition: Disposition
    instruction: str
    by: Person
    moment: Moment
    decision: Decision | None = None
    pieces: int | None = None
    serials: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Reverification:
    """The part looked at again after rework or repair."""

    what: str
    complies: bool
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class NonconformanceEnd:
    """Closed, or void because it was opened in error."""

    void: bool
    because: str
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class Nonconformance:
    """Something about a step that does not comply, and what is done about it.

    ``quantity`` and ``joint`` name a requirement, None where it is about the step as a whole; ``readings`` are the
    readings that do not comply. Its life: open, proposed, approved or refused; after rework or repair re-verified, or
    failed and proposed anew; closed. Void only before anything was approved.
    """

    number: int
    step: int
    quantity: str | None
    joint: str | None
    what: str
    readings: tuple[int, ...]
    by: Person
    moment: Moment
    proposals: tuple[Proposal, ...] = ()
    reverifications: tuple[Reverification, ...] = ()
    end: NonconformanceEnd | None = None

    @property
    def status(self) -> NonconformanceStatus:
        """Where it stands in its life."""
        if self.end is not None:
            return "void" if self.end.void else "closed"
        if not self.proposals:
            return "open"
        decision = self.proposals[-1].decision
        if decision is None:
            return "proposed"
        if not decision.approved:
            return "refused"
        since = [entry for entry in self.reverifications if entry.moment.seq > decision.moment.seq]
        if not since:
            return "approved"
        return "re-verified" if since[-1].complies else "failed"

    @property
    def is_open(self) -> bool:
        """Neither closed nor void."""
        return self.end is None

    @property
    def approved(self) -> Proposal | None:
        """The latest disposition that was approved."""
        return next(
            (p for p in reversed(self.proposals) if p.decision is not None and p.decision.approved), None
        )

    @property
    def disposition(self) -> Disposition | None:
        """The disposition in force: the latest that was approved."""
        return self.approved.disposition if self.approved else None

    @property
    def concedes(self) -> bool:
        """Closed, and what does not comply is let stand."""
        return self.status == "closed" and self.disposition in CONCESSIONS

    @property
    def rejects_some(self) -> bool:
        """By the disposition in force some pieces are given up, and the others go on."""
        return self.approved is not None and self.approved.pieces is not None


@dataclass(frozen=True, slots=True)
class Question:
    """Readings put in question because their instrument was found out of tolerance."""

    instrument: str
    finding: str
    readings: tuple[int, ...]
    moment: Moment


@dataclass(frozen=True, slots=True)
class Answer:
    """Whether questioned readings stand, and why."""

    readings: tuple[int, ...]
    stands: bool
    because: str
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class NotApplicable:
    """A requirement said not to apply, with the reason, under the revision that was in force."""

    step: int
    quantity: str
    joint: str | None
    because: str
    by: Person
    moment: Moment
    revision: int
