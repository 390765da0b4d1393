"""May this be done to the register? The one place that decides it: people, secrets, settings, instruments, lots."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from traveler.job.gate_acts import Permission
from traveler.job.person import MAY_ACCEPT, Person, Role, plain_name
from traveler.job.register import Register, RegisteredPerson

OWNER: tuple[Role, ...] = ("owner",)
MAY_RESET: tuple[Role, ...] = ("owner", "engineer")
"""Roles that may stand by while somebody else sets a new secret, and put a backup in the shop's place."""

OWNER_FIRST = "nobody has a secret yet; the owner sets the first one"


@dataclass(frozen=True, slots=True)
class RegisterPerson:
    """Bring somebody into the register, with a secret or without; the first one makes themselves its owner."""

    name: str
    with_secret: bool = False


@dataclass(frozen=True, slots=True)
class ChangePerson:
    """Give a person (an id) another name, or other roles."""

    person: str
    name: str | None = None
    roles: tuple[str, ...] | None = None


@dataclass(frozen=True, slots=True)
class SetActive:
    """Disable a person (an id), or enable them again."""

    person: str
    kind: Literal["disable", "enable"]


@dataclass(frozen=True, slots=True)
class ShowProcess:
    """Enter that a person (an id) was shown to weld by a process outside the jobs."""

    person: str


@dataclass(frozen=True, slots=True)
class SetSecret:
    """A person's new secret: set by themselves, with a second person beside them, or by the printed recovery code."""

    person: str
    by_whom: Literal["own", "reset", "recovery"]


@dataclass(frozen=True, slots=True)
class ChangeSetting:
    """Change how the shop does things."""


@dataclass(frozen=True, slots=True)
class TrustInstrument:
    """Say that an instrument can be relied on; ``what`` in words, "registering an instrument"."""

    what: str


@dataclass(frozen=True, slots=True)
class VouchForPart:
    """Say that a part may be relied on; ``what`` in words, "inspecting a part"."""

    what: str


@dataclass(frozen=True, slots=True)
class EnterWithName:
    """What everybody of the register may enter, by whom is to be true: a lot, a doubt about an instrument, a use."""


@dataclass(frozen=True, slots=True)
class RestoreShop:
    """Put a backup in the place of the shop's file."""


RegisterAct = (
    RegisterPerson
    | ChangePerson
    | SetActive
    | ShowProcess
    | SetSecret
    | ChangeSetting
    | TrustInstrument
    | VouchForPart
    | EnterWithName
    | RestoreShop
)


def secrets_in_use(register: Register) -> bool:
    """Whether anybody has a secret: from then on every signature takes one."""
    return any(person.commitment is not None for person in register.people)


def may_register(act: RegisterAct, register: Register, person: Person) -> Permission:
    """Whether ``person``, as the register knows them, may do ``act``.

    In a shop without registered people anybody may register the first of them, change settings and enter instruments
    and lots. From then on it takes a person of the register, and their secret for the act as soon as anybody has one.
    """
    if not register.people:
        return Permission(tuple(_against_beginning(act, register)))
    known = next((entry for entry in register.people if entry.id == person.id), None)
    if known is None:
        return Permission((f"{person.name} is not in the register of people",))
    if known.disabled:
        return Permission((f"{known.name} is disabled",))
    reasons = list(_against(act, register, known))
    # By the recovery code a person comes back who cannot sign.
    recovers = isinstance(act, SetSecret) and act.by_whom == "recovery"
    if secrets_in_use(register) and person.how != "signed" and not recovers:
        reasons.append(f"it takes the secret of {known.name}")
    return Permission(tuple(reasons))


def name_taken(register: Register, name: str, own: str | None = None) -> str:
    """Why a name would be mistaken for somebody else's, in words; empty where it would not.

    ``own``: id of the person who is to bear it. Names from before a change stand on older records and count, too.
    """
    wanted = plain_name(name)
    if wanted[:1] == "p" and wanted[1:].isdecimal():
        return f'"{name}" reads like an id of the register; expected a name'
    for entry in register.people:
        if entry.id == own:
            continue
        if plain_name(entry.name) == wanted:
            return f"{entry.id} is called {entry.name} already; give a name that tells the two apart"
        if wanted in map(plain_name, entry.former_names):
            return f"{entry.id} {entry.name} was called {name} before; give a name that tells the two apart"
    return ""


def _against_beginning(act: RegisterAct, register: Register) -> Iterator[str]:
    match act:
        case RegisterPerson(name=name):
            if taken := name_taken(register, name):
                yield taken
        case ChangeSetting() | TrustInstrument() | VouchForPart() | EnterWithName() | RestoreShop():
            pass
        case _:
            yield "nobody is registered yet"


def _against(act: RegisterAct, register: Register, known: RegisteredPerson) -> Iterator[str]:
    match act:
        case RegisterPerson(name=name):
            yield from _lacks(known, OWNER, "registering a person")
            if taken := name_taken(register, name):
                yield taken
            if act.with_secret and not secrets_in_use(register):
                yield OWNER_FIRST
        case ChangePerson():
            yield from _lacks(known, OWNER, "changing a person's name or roles")
            yield from _against_change(act, register)
        case SetActive():
            yield from _lacks(known, OWNER, f"{act.kind[:-1]}ing a person")
            yield from _against_switch(act, register)
        case ShowProcess(person=shown):
            yield from _lacks(known, MAY_ACCEPT, "entering what a welder showed")
            if shown == known.id and (others := _others(register, known, MAY_ACCEPT)):
                yield f"nobody vouches for their own welding; {_named(others)} may"
        case SetSecret():
            yield from _against_secret(act, register, known)
        case ChangeSetting():
            yield from _lacks(known, OWNER, "changing a setting")
        case TrustInstrument(what=what) | VouchForPart(what=what):
            yield from _lacks(known, MAY_ACCEPT, what)
        case RestoreShop():
            yield from _lacks(known, MAY_RESET, "restoring the shop's file")
        case EnterWithName():
            pass


def _against_change(act: ChangePerson, register: Register) -> Iterator[str]:
    if act.name is not None and (taken := name_taken(register, act.name, act.person)):
        yield taken
    if act.roles is not None and "owner" not in act.roles:
        yield from _last_owner(register, act.person)


def _against_switch(act: SetActive, register: Register) -> Iterator[str]:
    asked = register.person(act.person)
    if asked.disabled == (act.kind == "disable"):
        yield f"{asked.name} is {act.kind}d already"
    elif act.kind == "disable":
        yield from _last_owner(register, act.person)


def _last_owner(register: Register, leaving: str) -> Iterator[str]:
    """Without an owner who can act nobody could ever change the register again."""
    asked = register.person(leaving)
    if "owner" not in asked.roles or asked.disabled:
        return
    others = _others(register, asked, OWNER)
    if not others:
        yield f"{asked.name} is the only owner; make somebody else an owner first"
    elif secrets_in_use(register) and not any(other.commitment for other in others):
        yield f"{asked.name} is the only owner with a secret; set one for {_named(others)} first"


def _against_secret(act: SetSecret, register: Register, known: RegisteredPerson) -> Iterator[str]:
    asked = register.person(act.person)
    if asked.disabled:
        yield f"{asked.name} is disabled"
    elif act.by_whom == "reset":
        if asked.id == known.id:
            yield f"it takes a second person to reset the secret of {asked.name}"
        elif secrets_in_use(register):
            yield from _lacks(known, MAY_RESET, "resetting a secret")
        else:
            yield OWNER_FIRST
    elif asked.id != known.id:
        yield f"only {asked.name} sets their own secret"
    elif act.by_whom == "recovery":
        yield from _lacks(asked, OWNER, "a recovery code")
        if asked.recovery_commitment is None:
            yield f"{asked.name} has no recovery code"
    elif asked.commitment is None:
        if secrets_in_use(register):
            others = _named(_others(register, asked, MAY_RESET))
            yield f"{asked.name} has no secret yet; {others} may set one with them (reset)"
        else:
            yield from _lacks(asked, OWNER, "the first secret of a shop")


def _others(register: Register, known: RegisteredPerson, roles: tuple[Role, ...]) -> list[RegisteredPerson]:
    """Everybody else who is not disabled and has one of the roles."""
    return [
        entry
        for entry in register.people
        if entry.id != known.id and not entry.disabled and any(role in roles for role in entry.roles)
    ]


def _named(people: list[RegisteredPerson]) -> str:
    return " or ".join(f"{entry.name} ({entry.id})" for entry in people) or "an owner"


def _lacks(known: RegisteredPerson, roles: tuple[Role, ...], what: str) -> Iterator[str]:
    if not any(role in roles for role in known.roles):
        own = ", ".join(known.roles) or "nobody in particular"
        yield f"{known.name} is registered as {own}; {what} takes {' or '.join(roles)}"
