"""Acts on the register of people, with the fields of their commands. Every call of these acts is made here."""

from traveler.acts.entered_person import EnteredPerson
from traveler.acts.people import NewPerson, change_person, register_person, set_active, show_process
from traveler.acts.person_secrets import recover, reset_secret, set_own_secret
from traveler.acts.person_typed import day_shown, name_typed, process_typed, roles_typed
from traveler.errors import BadInput
from traveler.job.person import Person
from traveler.job.register import ROLES, RegisteredPerson
from traveler.quantity.parse import echo
from traveler.record.secrets import Secret, recovery_code
from traveler.tui.entered import FieldFault, Told, in_field, names, reason, said
from traveler.tui.register_act import CarryOut, Entering, NewSecret, RegisterAct, ToldCode, Typed
from traveler.tui.signed_act import Asked

BECAUSE = Asked("because", "Because", "the reason, in words")
ROLE_HINT = f"with commas: {', '.join(ROLES)}"
SHORTEST = "Six digits or more, or eight characters or more, that nobody guesses."
CODES = ("keep the recovery code", "a new recovery code")


def told_of(outcome: EnteredPerson) -> Told:
    """What an act says, and with it a recovery code where one was issued."""
    if not outcome.recorded:
        return Told(False, False, outcome.message, outcome.reasons)
    if outcome.recovery_code is None:
        return Told(True, True, outcome.message)
    return ToldCode(True, True, outcome.message, code=outcome.recovery_code)


def register_first(keyboard: Person) -> RegisterAct:
    """The first person, who is at the keyboard, registers themselves."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        new = _entered(entering, typed)
        return told_of(
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
    )


def register_another(*, secrets: bool) -> RegisterAct:
    """Bring another person into the register; ``secrets``: whether people have some."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        new = _entered(entering, typed)
        return told_of(
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
    )


_PROCESSES = Asked(
    "processes",
    "Welds",
    "ISO 4063 number=day shown last, such as 141=2026-08-01, with commas; may stay empty",
)


def _entered(entering: Entering, typed: Typed) -> NewPerson:
    called = said(typed, "called", "the name is missing; expected first and last name")
    in_field("called", lambda: name_typed(called))
    roles = names(typed["roles"])
    in_field("roles", lambda: roles_typed(roles))
    if not roles:
        raise FieldFault("roles", f"say what they are in the shop: {ROLE_HINT}")
    processes = in_field("processes", lambda: dict(_process(text) for text in names(typed["processes"])))
    new = NewPerson(called, roles, processes)
    in_field("processes", lambda: new.checked(entering.clock.now()))
    return new


def _process(text: str) -> tuple[str, str]:
    number, _, day = text.partition("=")
    if not day:
        raise BadInput(f'"{echo(text)}" is no process with its day; expected one such as 141=2026-08-01')
    return number, day


def rename(person: RegisteredPerson) -> RegisterAct:
    """Give a person another name."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        called = said(typed, "called", "the name is missing; expected first and last name")
        because = reason(typed)
        return told_of(
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
        (Asked("called", "New name", "first and last name", person.name), BECAUSE),
        "Older records keep the name that they were written with.",
    )


def give_roles(person: RegisteredPerson) -> RegisterAct:
    """Give a person other roles."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        roles, because = names(typed["roles"]), reason(typed)
        in_field("roles", lambda: roles_typed(roles))
        if not roles:
            raise FieldFault("roles", f"say what they are in the shop: {ROLE_HINT}")
        return told_of(
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
        (Asked("roles", "Roles", f"every one from now on, {ROLE_HINT}", ", ".join(person.roles)), BECAUSE),
        "Older records keep the roles that they were written with.",
    )


def switch(person: RegisteredPerson, *, enable: bool) -> RegisterAct:
    """Disable a person, or enable them again."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        return told_of(
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
        (BECAUSE,),
        "Nobody is ever deleted: what they signed stands.",
    )


def shown_to_weld(person: RegisteredPerson) -> RegisterAct:
    """Enter that they were shown to weld by a process outside the jobs."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        process = said(typed, "process", "the process is missing; expected its ISO 4063 number, such as 141")
        in_field("process", lambda: process_typed(process))
        in_field("on", lambda: day_shown(typed["on"], entering.clock.now()))
        shown_by = said(typed, "shown_by", "say what shows it, such as: test piece 12, macro good")
        return told_of(
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
        (
            Asked("process", "Process", "its ISO 4063 number, such as 141"),
            Asked("on", "On", "the day on which it was shown, such as 2026-08-01"),
            Asked("shown_by", "Shown by", "a test piece, a certificate, such as: test piece 12, macro good"),
        ),
        "Counts for six months; a weld in a job renews it while it is alive. Entered by somebody else than the welder.",
    )


def own_secret(person: RegisteredPerson) -> RegisterAct:
    """Set one's own secret, the first one or another."""
    owner = "owner" in person.roles
    has_code = person.recovery_commitment is not None

    def carry_out(entering: Entering, typed: Typed) -> Told:
        return told_of(
            set_own_secret(
                entering.shop,
                entering.clock,
                person.id,
                entering.secrets.present,
                _new(entering),
                new_code=typed.get("code") == CODES[1],
            )
        )

    about = ["Typed by them alone, twice, and shown nowhere.", SHORTEST]
    if owner and not has_code:
        about.append("A recovery code is issued with it and shown once: have paper and pen at hand.")
    return RegisterAct(
        title=f"Own secret of {titled(person)}",
        says="From now on I sign with this secret",
        carry_out=carry_out,
        asks=(
            (Asked("code", "Recovery", "empty keeps it; a new one makes the old one useless", options=CODES),)
            if owner and has_code
            else ()
        ),
        about=tuple(about),
        by=person.acting("stated"),
        new_secret=NewSecret("your", "Present" if person.commitment is not None else ""),
    )


def set_with_second(person: RegisteredPerson) -> RegisterAct:
    """A secret for somebody who lost theirs or never had one, with a second person beside them."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        because = reason(typed)
        return told_of(
            reset_secret(
                entering.shop,
                entering.clock,
                entering.person,
                entering.secrets.own,
                person.id,
                _new(entering),
                because,
            )
        )

    return RegisterAct(
        title=f"New secret of {titled(person)}",
        says="I stand beside this person, who sets a new secret",
        carry_out=carry_out,
        asks=(BECAUSE,),
        about=(
            f"{person.name} types the new secret, twice. An owner or an engineer stands beside them and signs below "
            "with their own. What was signed before stands.",
            SHORTEST,
        ),
        new_secret=NewSecret("their"),
    )


def by_recovery_code(person: RegisteredPerson) -> RegisterAct:
    """A new secret for an owner by the code that was written down."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        present = entering.secrets.present
        if present is None:
            raise FieldFault("present", "the recovery code is missing; it is on the paper that was kept")
        code = in_field("present", lambda: recovery_code(present.reveal()))
        return told_of(recover(entering.shop, entering.clock, person.id, code, _new(entering)))

    return RegisterAct(
        title=f"Recovery code of {titled(person)}",
        says="I come back by the code that I wrote down",
        carry_out=carry_out,
        about=(
            "The code is used up by it, and the next one is shown once: have paper and pen at hand.",
            SHORTEST,
        ),
        by=person.acting("stated"),
        new_secret=NewSecret("your", "Code"),
    )


def _new(entering: Entering) -> Secret:
    """The form asks for it before anything else is done."""
    if entering.secrets.new is None:
        raise FieldFault("new", "the new secret is missing")
    return entering.secrets.new


def _on(
    person: RegisteredPerson,
    verb: str,
    says: str,
    carry_out: CarryOut,
    asks: tuple[Asked, ...],
    note: str,
) -> RegisterAct:
    return RegisterAct(
        title=f"{verb} {titled(person)}",
        says=says,
        carry_out=carry_out,
        asks=asks,
        about=(note,),
    )


def titled(person: RegisteredPerson) -> str:
    """ "P2 Wanda Vance"."""
    return f"{person.id} {person.name}"
