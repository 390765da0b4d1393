"""Acts on the register of people, with the fields of their commands. Every call of these acts is made here."""

from collections.abc import Callable

from traveler.acts.clock import Clock
from traveler.acts.entered_person import EnteredPerson
from traveler.acts.people import NewPerson, change_person, register_person, set_active, show_process
from traveler.acts.person_typed import day_shown, name_typed, process_typed, roles_typed
from traveler.errors import BadInput
from traveler.job.person import ROLES, Person
from traveler.job.register import RegisteredPerson
from traveler.quantity.parse import echo
from traveler.tui.entered import FieldFault, Told, in_field, names, reason, said
from traveler.tui.register_act import CarryOut, Entering, NewSecret, RegisterAct, ToldCode, Typed, look_at
from traveler.tui.signed_act import Asked

BECAUSE = Asked("because", "Because", "the reason, in words")
ROLE_HINT = f"with commas: {', '.join(ROLES)}"
SHORTEST = "Six digits or more, or eight characters or more, that nobody guesses."


def told_person(outcome: EnteredPerson) -> Told:
    """What an act says, and with it a recovery code where one was issued."""
    if not outcome.recorded:
        return Told(False, False, outcome.message, outcome.reasons)
    if outcome.recovery_code is None:
        return Told(True, True, outcome.message)
    return ToldCode(True, True, outcome.message, code=outcome.recovery_code)


def register_first(keyboard: Person) -> RegisterAct:
    """The first person, who is at the keyboard, registers themselves."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        new = _entered(entering.clock, typed)
        return told_person(
            in_field(
                "called",
                lambda: register_person(
                    entering.shop, entering.clock, None, new, new_secret=entering.secrets.new
                ),
            )
        )

    return RegisterAct(
        title="Register yourself as the owner",
        says="I am the owner of this register",
        carry_out=carry_out,
        asks=(
            Asked("called", "Name", "your first and last name"),
            Asked("roles", "Roles", f"{ROLE_HINT}; owner in any case", "owner"),
            _PROCESSES,
        ),
        about=(
            "The first person becomes the owner, who registers the others. From then on only people of the register "
            "sign, and with their secrets as soon as you set yours here.",
            SHORTEST,
        ),
        by=keyboard,
        new_secret=NewSecret(
            "your",
            may_wait=True,
            without="without a secret names stay as they are stated; commit again to register without one",
        ),
        look=look_at(_entered),
    )


def register_another(*, secrets: bool) -> RegisterAct:
    """Bring another person into the register; ``secrets``: whether people have some."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        new = _entered(entering.clock, typed)
        return told_person(
            in_field(
                "called",
                lambda: register_person(
                    entering.shop,
                    entering.clock,
                    entering.person,
                    new,
                    new_secret=entering.secrets.new,
                    secret=entering.secrets.own,
                ),
            )
        )

    return RegisterAct(
        title="Register a person",
        says="This person belongs to the shop",
        carry_out=carry_out,
        asks=(
            Asked("called", "New person", "their first and last name"),
            Asked("roles", "Roles", ROLE_HINT),
            _PROCESSES,
        ),
        about=(
            "Their id is never used again. An owner registers them"
            + (f"; they type their own secret. {SHORTEST}" if secrets else "."),
        ),
        new_secret=NewSecret(
            "their",
            may_wait=True,
            without="without a secret they sign nothing until one is set; commit again to register without one",
        )
        if secrets
        else None,
        look=look_at(_entered),
    )


_PROCESSES = Asked(
    "processes",
    "Welds",
    "ISO 4063 number=day shown last, such as 141=2026-08-01, with commas; may stay empty",
)


def _entered(clock: Clock, typed: Typed) -> NewPerson:
    called = said(typed, "called", "the name is missing; expected first and last name")
    in_field("called", lambda: name_typed(called))
    roles = _roles(typed)
    processes = in_field("processes", lambda: dict(_process(text) for text in names(typed["processes"])))
    new = NewPerson(called, roles, processes)
    in_field("processes", lambda: new.checked(clock.now()))
    return new


def _roles(typed: Typed) -> tuple[str, ...]:
    roles = in_field("roles", lambda: roles_typed(names(typed["roles"])))
    if not roles:
        raise FieldFault("roles", f"say what they are in the shop: {ROLE_HINT}")
    return roles


def _process(text: str) -> tuple[str, str]:
    number, _, day = text.partition("=")
    if not day:
        raise BadInput(f'"{echo(text)}" is no process with its day; expected one such as 141=2026-08-01')
    return number, day


def rename(person: RegisteredPerson) -> RegisterAct:
    """Give a person another name."""

    def read(clock: Clock, typed: Typed) -> tuple[str, str]:
        called = said(typed, "called", "the name is missing; expected first and last name")
        return in_field("called", lambda: name_typed(called)), reason(typed)

    def carry_out(entering: Entering, typed: Typed) -> Told:
        called, because = read(entering.clock, typed)
        return told_person(
            in_field(
                "called",
                lambda: change_person(
                    entering.shop,
                    entering.clock,
                    entering.person,
                    person.id,
                    because,
                    name=called,
                    secret=entering.secrets.own,
                ),
            )
        )

    return _on(
        person,
        "Rename",
        "This person bears another name from now on",
        carry_out,
        read,
        (Asked("called", "New name", "first and last name", person.name), BECAUSE),
        "Older records keep the name that they were written with.",
    )


def give_roles(person: RegisteredPerson) -> RegisterAct:
    """Give a person other roles."""

    def read(clock: Clock, typed: Typed) -> tuple[tuple[str, ...], str]:
        return _roles(typed), reason(typed)

    def carry_out(entering: Entering, typed: Typed) -> Told:
        roles, because = read(entering.clock, typed)
        return told_person(
            in_field(
                "roles",
                lambda: change_person(
                    entering.shop,
                    entering.clock,
                    entering.person,
                    person.id,
                    because,
                    roles=roles,
                    secret=entering.secrets.own,
                ),
            )
        )

    return _on(
        person,
        "Roles of",
        "This person has these roles from now on",
        carry_out,
        read,
        (Asked("roles", "Roles", f"every one from now on, {ROLE_HINT}", ", ".join(person.roles)), BECAUSE),
        "Older records keep the roles that they were written with.",
    )


def switch(person: RegisteredPerson, *, enable: bool) -> RegisterAct:
    """Disable a person, or enable them again."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        return told_person(
            set_active(
                entering.shop,
                entering.clock,
                entering.person,
                person.id,
                "enable" if enable else "disable",
                reason(typed),
                secret=entering.secrets.own,
            )
        )

    return _on(
        person,
        "Enable" if enable else "Disable",
        "This person signs again" if enable else "This person signs nothing from now on",
        carry_out,
        lambda clock, typed: reason(typed),
        (BECAUSE,),
        "Nobody is ever deleted: what they signed stands.",
    )


def shown_to_weld(person: RegisteredPerson) -> RegisterAct:
    """Enter that they were shown to weld by a process outside the jobs."""

    def read(clock: Clock, typed: Typed) -> tuple[str, str]:
        process = said(typed, "process", "the process is missing; expected its ISO 4063 number, such as 141")
        in_field("process", lambda: process_typed(process))
        in_field("on", lambda: day_shown(typed["on"], clock.now()))
        return process, said(typed, "shown_by", "say what shows it, such as: test piece 12, macro good")

    def carry_out(entering: Entering, typed: Typed) -> Told:
        process, shown_by = read(entering.clock, typed)
        return told_person(
            show_process(
                entering.shop,
                entering.clock,
                entering.person,
                person.id,
                process,
                typed["on"],
                shown_by,
                secret=entering.secrets.own,
            )
        )

    return _on(
        person,
        "Shown to weld:",
        "This person was shown to weld by this process",
        carry_out,
        read,
        (
            Asked("process", "Process", "its ISO 4063 number, such as 141"),
            Asked("on", "On", "the day on which it was shown, such as 2026-08-01"),
            Asked("shown_by", "Shown by", "a test piece, a certificate, such as: test piece 12, macro good"),
        ),
        "Counts for six months; a weld in a job renews it while it is alive. Entered by somebody else than the welder.",
    )


def _on(
    person: RegisteredPerson,
    verb: str,
    says: str,
    carry_out: CarryOut,
    read: Callable[[Clock, Typed], object],
    asks: tuple[Asked, ...],
    note: str,
) -> RegisterAct:
    return RegisterAct(
        title=f"{verb} {titled(person)}",
        says=says,
        carry_out=carry_out,
        asks=asks,
        about=(note,),
        look=look_at(read),
    )


def titled(person: RegisteredPerson) -> str:
    """ "P2 Wanda Vance"."""
    return f"{person.id} {person.name}"
