"""What may be asked of the gate, and its answer."""

from dataclasses import dataclass
from typing import Literal

from traveler.job.decided import Disposition, PointKind
from traveler.job.state import Key


@dataclass(frozen=True, slots=True)
class AcceptStep:
    """Accept a step as complying."""

    step: int


@dataclass(frozen=True, slots=True)
class PerformStep:
    """Say that a step was performed. What happened may always be recorded while the job is open."""

    step: int


@dataclass(frozen=True, slots=True)
class RetryHeat:
    """Open another attempt of a minimum that was read too cold."""

    key: Key


@dataclass(frozen=True, slots=True)
class JobAct:
    """Something about the whole job: record anything at all, close it, cancel it, revise it.

    ``pieces``: of closing, how many are accepted, as counted.
    """

    kind: Literal["record", "close", "cancel", "revise"]
    pieces: int | None = None


@dataclass(frozen=True, slots=True)
class SupersedeReading:
    """Correct an entry as a typing error, or take it back."""

    reading: int


@dataclass(frozen=True, slots=True)
class TakeBackChart:
    """Take a chart back because it was read wrongly, with another reading of the file in its place."""

    chart: int


@dataclass(frozen=True, slots=True)
class ActAtPoint:
    """Release or waive a hold, notify a party or attend as a witness, for the party that the point names."""

    step: int
    point: int
    kind: PointKind


@dataclass(frozen=True, slots=True)
class OpenNonconformance:
    """Say that something about a step does not comply: a requirement, some readings, or the step as a whole."""

    step: int
    quantity: str | None = None
    joint: str | None = None
    readings: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class ProposeDisposition:
    """Propose what is to be done about a nonconformance.

    ``pieces``: how many are scrapped or returned; None for all of the job.
    """

    nonconformance: int
    disposition: Disposition
    pieces: int | None = None
    serials: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DecideDisposition:
    """Approve or refuse the disposition that was proposed."""

    nonconformance: int
    disposition: Disposition
    approve: bool


@dataclass(frozen=True, slots=True)
class OnNonconformance:
    """Look at the part again after rework or repair, close the nonconformance, or void one opened in error.

    ``complies``: of looking at it again, what that showed.
    """

    kind: Literal["re-verify", "close", "void"]
    nonconformance: int
    complies: bool = True


@dataclass(frozen=True, slots=True)
class AnswerQuestion:
    """Say whether questioned readings stand."""

    readings: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class SetNotApplicable:
    """Say that a requirement does not apply."""

    key: Key


@dataclass(frozen=True, slots=True)
class ActOutside:
    """Send the work of a step to a vendor, receive it, review the certificate that came, or call the sending off.

    Of a review that ``accepts``: ``files`` are those that were looked at, by SHA-256, ``missing`` the papers that were
    asked for and did not come.
    """

    step: int
    kind: Literal["send", "receive", "review", "call off"]
    accepts: bool = False
    files: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TakeOutPieces:
    """Say that pieces were scrapped or lost."""

    pieces: int
    serials: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SplitOff:
    """Let pieces go on as a job of their own."""

    pieces: int
    serials: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class UsePieces:
    """Use pieces in an assembly, which is another job."""

    pieces: int
    serials: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JoinComponent:
    """Join pieces of another job at a step."""

    job: str
    step: int


@dataclass(frozen=True, slots=True)
class TakeOutComponent:
    """Take a component out of the assembly again."""

    job: str


Act = (
    AcceptStep
    | PerformStep
    | RetryHeat
    | JobAct
    | SupersedeReading
    | TakeBackChart
    | ActAtPoint
    | OpenNonconformance
    | ProposeDisposition
    | DecideDisposition
    | OnNonconformance
    | AnswerQuestion
    | SetNotApplicable
    | ActOutside
    | TakeOutPieces
    | SplitOff
    | UsePieces
    | JoinComponent
    | TakeOutComponent
)


@dataclass(frozen=True, slots=True)
class Permission:
    """Granted, or the reasons why not, each a sentence."""

    reasons: tuple[str, ...] = ()

    @property
    def granted(self) -> bool:
        """True where nothing stands against it."""
        return not self.reasons
