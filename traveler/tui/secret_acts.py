"""Acts on the secrets of people, with the fields of their commands. Every call of these acts is made here."""

from traveler.acts.person_secrets import recover, reset_secret, set_own_secret
from traveler.job.register import RegisteredPerson
from traveler.record.secrets import Secret, recovery_code
from traveler.tui.entered import FieldFault, Told, in_field, reason
from traveler.tui.person_acts import BECAUSE, SHORTEST, titled, told_person
from traveler.tui.register_act import Entering, NewSecret, RegisterAct, Typed, look_at
from traveler.tui.signed_act import Asked

CODES = ("keep the recovery code", "a new recovery code")


def own_secret(person: RegisteredPerson) -> RegisterAct:
    """Set one's own secret, the first one or another."""
    owner = "owner" in person.roles
    has_code = person.recovery_commitment is not None

    def carry_out(entering: Entering, typed: Typed) -> Told:
        return told_person(
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
        return told_person(
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
        look=look_at(lambda clock, typed: reason(typed)),
    )


def by_recovery_code(person: RegisteredPerson) -> RegisterAct:
    """A new secret for an owner by the code that was written down."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        present = entering.secrets.present
        if present is None:
            raise FieldFault("present", "the recovery code is missing; it is on the paper that was kept")
        code = in_field("present", lambda: recovery_code(present.reveal()))
        return told_person(recover(entering.shop, entering.clock, person.id, code, _new(entering)))

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
