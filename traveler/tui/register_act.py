"""An act on the shop's register in the app: what it asks for, whose secrets it takes, and how it is carried out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from traveler.acts.clock import Clock
from traveler.job.person import Person
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.tui.entered import Told
from traveler.tui.signed_act import Asked

Typed = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Secrets:
    """What was typed into the fields of secrets, None where nothing was.

    ``own``: of who enters it. ``present``: the secret, or the recovery code, that a new one takes the place of.
    """

    own: Secret | None = None
    present: Secret | None = None
    new: Secret | None = None

    def __bool__(self) -> bool:
        return any(secret is not None for secret in (self.own, self.present, self.new))


@dataclass(frozen=True, slots=True)
class Entering:
    """Who enters it in which shop, by which secrets."""

    shop: Shop
    clock: Clock
    person: Person
    secrets: Secrets


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question that is asked before the act is carried out: at which field, and what is shown with it."""

    field: str
    question: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NewSecret:
    """An act sets a secret: ``whose`` in words. ``present``: label of the field for what it takes the place of, empty
    for none. ``may_wait``: it may be left empty, which ``without`` then asks about.
    """

    whose: str
    present: str = ""
    may_wait: bool = False
    without: str = ""


@dataclass(frozen=True, slots=True)
class ToldCode(Told):
    """What came of an act that issued a recovery code, which is shown once."""

    code: Secret | None = None


CarryOut = Callable[[Entering, Typed], Told]
Look = Callable[[Clock, Typed], Doubt | None]


@dataclass(frozen=True, slots=True)
class RegisterAct:
    """``title`` names the act and its draft, ``says`` is what is said by it, ``about`` what it is about, line by line.

    ``by``: who does it where that is nobody's choice, so that no name is
    asked. ``signed``: it takes a person of the register where there are people, and their secret where these have
    some. ``look`` looks at what was typed before any secret is taken and writes nothing; it may raise FieldFault.
    """

    title: str
    says: str
    carry_out: CarryOut
    asks: tuple[Asked, ...] = ()
    about: tuple[str, ...] = ()
    by: Person | None = None
    signed: bool = True
    new_secret: NewSecret | None = None
    look: Look | None = None


def look_at(read: Callable[[Clock, Typed], object]) -> Look:
    """What reads the fields says what is wrong with them; there is nothing to ask."""

    def look(clock: Clock, typed: Typed) -> None:
        read(clock, typed)

    return look
