"""People of the shop: registered, renamed, given other roles, disabled and enabled; what a welder showed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any, Literal, Self

from traveler.acts.clock import Clock
from traveler.acts.entered_person import EnteredPerson, enter_all
from traveler.acts.entry import Entry, Refusal
from traveler.acts.person_typed import day_shown, name_typed, process_typed, roles_typed
from traveler.acts.register import register_of, shop_now
from traveler.acts.signing import Meant, signing
from traveler.acts.typed import needed, reason_given
from traveler.errors import BadInput
from traveler.job.person import Person
from traveler.job.register import Register, RegisteredPerson
from traveler.job.register_fold import (
    PERSON_CHANGED,
    PERSON_DISABLED,
    PERSON_ENABLED,
    PERSON_REGISTERED,
    PROCESS_USED,
    RECOVERY_CODE,
    SECRET_SET,
)
from traveler.job.register_gate import (
    ChangePerson,
    RegisterAct,
    RegisterPerson,
    SetActive,
    ShowProcess,
)
from traveler.record.secrets import Secret, new_recovery_code, new_verifier
from traveler.record.shop import Shop, Writing


@dataclass(frozen=True, slots=True)
class NewPerson:
    """Somebody as entered. ``processes``: ISO 4063 numbers with the day on which each was shown last, as typed."""

    name: str
    roles: Sequence[str] = ()
    processes: Mapping[str, str] = field(default_factory=dict)

    def checked(self, now: datetime) -> Self:
        """The same as it is recorded: roles in their order, days in ISO 8601. Raises BadInput."""
        shown = {
            process_typed(number): day_shown(day, now).isoformat() for number, day in self.processes.items()
        }
        return replace(self, name=name_typed(self.name), roles=roles_typed(self.roles), processes=shown)


def register_person(
    shop: Shop,
    clock: Clock,
    person: Person | None,
    entered: NewPerson,
    *,
    new_secret: Secret | None = None,
    secret: Secret | None = None,
) -> EnteredPerson:
    """Bring somebody into the register, under an id that is never used again.

    The first one registers themselves, becomes an owner and gets a recovery code. ``person``: who registers them, for
    the first one nobody else. ``new_secret``: the new person's own, typed by them; it may be set later. ``secret``: of
    who registers them.
    """
    entered = entered.checked(shop_now(shop, clock))
    wanted, given, shown = entered.name, tuple(entered.roles), dict(entered.processes)
    is_first = not register_of(shop).people
    if not is_first and person is None:
        raise BadInput("it must be said who registers somebody (--by)")
    if is_first:
        person, given = Person(wanted), roles_typed((*given, "owner"))
    elif not given:
        raise BadInput("it must be said what they are in the shop: give one role or more (--role)")
    verifier = None if new_secret is None else new_verifier(new_secret)
    code, kept_code = new_recovery_code() if is_first else (None, None)
    signer = signing(shop, clock, person or Person(wanted), secret, Meant("register a person"))
    if isinstance(signer, Refusal):
        return _refused(shop, f"{wanted} is not registered", signer.reasons)
    kept = signer.kept

    def entries(register: Register, now: datetime, writing: Writing) -> list[Entry]:
        number = register.next_person
        act = {"person": number, "name": wanted, "roles": list(given), "processes": shown, **kept}
        made = [Entry(PERSON_REGISTERED, act)]
        if verifier is not None:
            commitment = writing.put_secret(number, verifier, now)
            by_whom = "own" if is_first else "reset"
            made.append(
                Entry(SECRET_SET, {"person": number, "by_whom": by_whom, "commitment": commitment, **kept})
            )
        if kept_code is not None:
            commitment = writing.put_secret(number, kept_code, now, "recovery")
            made.append(Entry(RECOVERY_CODE, {"person": number, "commitment": commitment, **kept}))
        return made

    act = RegisterPerson(wanted, with_secret=verifier is not None)
    register, refused = enter_all(shop, clock, signer, act, entries)
    if refused:
        return _refused(shop, f"{wanted} is not registered", refused)
    made = register.people[-1]
    return EnteredPerson(
        True, f"{titled(made)} is registered as {', '.join(made.roles)}", register, (), made.id, code
    )


def change_person(
    shop: Shop,
    clock: Clock,
    person: Person,
    who: str,
    because: str,
    *,
    name: str | None = None,
    roles: Sequence[str] | None = None,
    secret: Secret | None = None,
) -> EnteredPerson:
    """Give a person another name or other roles from now on; older records keep what they say."""
    reason = reason_given(because)
    wanted = None if name is None else name_typed(name)
    given = None if roles is None else roles_typed(roles)
    asked = register_of(shop).person(who)
    if wanted in (None, asked.name) and given in (None, asked.roles):
        raise BadInput(f"{titled(asked)} is that already: {', '.join(asked.roles) or 'no role'}")

    entry = {"name": wanted, "roles": None if given is None else list(given), "because": reason}
    act = ChangePerson(asked.id, wanted, given)
    done = f"is {wanted or asked.name} now, {', '.join(asked.roles if given is None else given) or 'without a role'}"
    return _enter_one(shop, clock, person, secret, asked, act, PERSON_CHANGED, entry, done)


def set_active(
    shop: Shop,
    clock: Clock,
    person: Person,
    who: str,
    kind: Literal["disable", "enable"],
    because: str,
    *,
    secret: Secret | None = None,
) -> EnteredPerson:
    """Disable a person, who then signs nothing and stays on every older record; or enable them again."""
    reason = reason_given(because)
    asked = register_of(shop).person(who)
    event = PERSON_DISABLED if kind == "disable" else PERSON_ENABLED
    act = SetActive(asked.id, kind)
    return _enter_one(shop, clock, person, secret, asked, act, event, {"because": reason}, f"is {kind}d")


def show_process(
    shop: Shop,
    clock: Clock,
    person: Person,
    who: str,
    process: str,
    on: str,
    shown_by: str,
    *,
    secret: Secret | None = None,
) -> EnteredPerson:
    """Enter that somebody was shown to weld by a process outside the jobs: a test piece, work elsewhere."""
    asked = register_of(shop).person(who)
    number, day = process_typed(process), day_shown(on, shop_now(shop, clock))
    text = needed(
        shown_by, "what shows it", 'a test piece, a certificate, such as "test piece 12, macro good"'
    )
    entry = {"process": number, "on": day.isoformat(), "shown_by": text}
    done = f"was shown to weld by process {number} on {day}"
    return _enter_one(shop, clock, person, secret, asked, ShowProcess(asked.id), PROCESS_USED, entry, done)


def titled(person: RegisteredPerson) -> str:
    """ "P2 Wanda Vance"."""
    return f"{person.id} {person.name}"


def _enter_one(
    shop: Shop,
    clock: Clock,
    person: Person,
    secret: Secret | None,
    asked: RegisteredPerson,
    act: RegisterAct,
    event: str,
    entry: Mapping[str, Any],
    done: str,
) -> EnteredPerson:
    """One event about a person who is registered; ``done`` goes behind their name."""
    signer = signing(shop, clock, person, secret, Meant(event))
    if isinstance(signer, Refusal):
        return _refused(shop, f"{titled(asked)} stays as they are", signer.reasons)
    kept = Entry(event, {"person": asked.id, **entry, **signer.kept})
    register, refused = enter_all(shop, clock, signer, act, lambda *_: [kept])
    if refused:
        return _refused(shop, f"{titled(asked)} stays as they are", refused)
    return EnteredPerson(True, f"{titled(asked)} {done}", register, (), asked.id)


def _refused(shop: Shop, message: str, reasons: tuple[str, ...]) -> EnteredPerson:
    return EnteredPerson(False, message, register_of(shop), reasons)
