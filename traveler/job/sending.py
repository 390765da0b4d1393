"""Work of a step that a vendor does: what was sent, what came back, what was found of the papers that came with it."""

from dataclasses import dataclass
from typing import Literal, get_args

from traveler.job.person import Moment, Person

HeatNumber = Literal["legible", "not legible", "none on the part"]
HEAT_NUMBER_WORDS: tuple[HeatNumber, ...] = get_args(HeatNumber)


@dataclass(frozen=True, slots=True)
class Receipt:
    """Pieces that came back, as they were found; ``damage`` None where none was seen."""

    pieces: int
    condition: str
    damage: str | None
    heat_number: HeatNumber
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class Review:
    """The papers of a vendor looked at: which files by name and SHA-256, and what was held against what.

    ``missing``: papers that were asked for and did not come. ``because``: the remark, or why it is not accepted.
    """

    accepted: bool
    files: tuple[tuple[str, str], ...]
    held_against: str
    missing: tuple[str, ...]
    because: str | None
    meaning: str
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class CalledOff:
    """The part came back undone, or it was entered in error."""

    because: str
    by: Person
    moment: Moment


@dataclass(frozen=True, slots=True)
class Sending:
    """A part sent to a vendor with the work of a step; ``number`` counts the sendings of the step.

    ``requirement``: the document with its revision that was sent along, ``revision`` that of the traveler. ``returns``:
    the papers that it asks for. ``expected``: the day on which it is to be back, None where nobody said.
    """

    number: int
    step: int
    vendor: str
    order: str | None
    what: str
    pieces: int
    requirement: str | None
    revision: int
    returns: tuple[str, ...]
    expected: str | None
    by: Person
    moment: Moment
    receipts: tuple[Receipt, ...] = ()
    reviews: tuple[Review, ...] = ()
    called_off: CalledOff | None = None

    @property
    def stands(self) -> bool:
        """Whether it was not called off."""
        return self.called_off is None

    @property
    def is_out(self) -> bool:
        """Whether nothing of it has come back."""
        return self.stands and not self.receipts

    @property
    def returned(self) -> int:
        """How many pieces came back."""
        return sum(receipt.pieces for receipt in self.receipts)

    @property
    def received_at(self) -> int:
        """Place in the log of the last receipt, 0 before the first."""
        return max((receipt.moment.seq for receipt in self.receipts), default=0)

    @property
    def review(self) -> Review | None:
        """The latest review; one from before the last receipt was not about all that came."""
        latest = self.reviews[-1] if self.reviews else None
        return latest if latest is not None and latest.moment.seq > self.received_at else None
