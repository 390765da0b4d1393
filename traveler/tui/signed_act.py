"""An act that somebody signs in the app: what it asks for, what its signature says, and how it is carried out."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from traveler.acts.change import Outcome
from traveler.acts.performers import others_in
from traveler.acts.readings import supersede
from traveler.acts.register import known, register_of
from traveler.acts.sign import ACCEPTED_MEANING, accept, perform, performed_meaning
from traveler.acts.signed_change import Signing
from traveler.job.gate import AcceptStep, Act, JobAct, PerformStep, SupersedeReading
from traveler.tui.entered import FieldFault, in_field, names, reason, said_or_none, whole_number

Typed = Mapping[str, str]
CarryOut = Callable[[Signing, Typed], Outcome]

WITH = "who did it too, with commas; empty: nobody else"
RUNS = "how many runs were laid; empty: those recorded"


@dataclass(frozen=True, slots=True)
class Asked:
    """A field that an act has beside who signs; with ``options`` one of them is chosen."""

    key: str
    label: str
    hint: str
    value: str = ""
    options: tuple[str, ...] = ()
    placeholder: str = ""


@dataclass(frozen=True, slots=True)
class SignedAct:
    """``title`` names the act, ``says`` is what is said by signing it, ``about`` what it is about, line by line.

    ``gate``: what is asked of the gate beforehand, without a person. ``carry_out`` is handed who signs on what, and
    what was typed; it raises FieldFault for a field that cannot be used. ``who``: hint of the field with the name.
    """

    title: str
    says: str
    gate: Act
    carry_out: CarryOut
    asks: tuple[Asked, ...] = ()
    about: tuple[str, ...] = ()
    who: str = "who signs"


def perform_step(step: int, kind: str, vendor: str | None = None) -> SignedAct:
    """Sign a step as performed, with how many runs for a weld; ``vendor``: who did it where that was not this shop."""
    runs = Asked("runs", "Runs", RUNS, placeholder="those recorded")

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        laid = whole_number("runs", typed.get("runs", ""))
        others = names(typed.get("with", ""))
        register = register_of(signing.shop)
        in_field("with", lambda: others_in(register, known(register, signing.person), others))
        return in_field(
            "runs",
            lambda: perform(
                signing.shop,
                signing.clock,
                signing.person,
                signing.number,
                step,
                laid,
                signing.content,
                others=others,
                secret=signing.secret,
            ),
        )

    return SignedAct(
        title="Sign as performed",
        says=performed_meaning(vendor),
        gate=PerformStep(step),
        carry_out=carry_out,
        asks=((runs,) if kind == "weld" else ()) + (Asked("with", "With", WITH, placeholder="nobody else"),),
        who="who performed the step" if vendor is None else "who received the work of the vendor",
    )


def accept_step(step: int) -> SignedAct:
    """Sign a step as accepted."""
    return SignedAct(
        title="Sign as accepted",
        says=ACCEPTED_MEANING,
        gate=AcceptStep(step),
        carry_out=lambda signing, typed: accept(
            signing.shop,
            signing.clock,
            signing.person,
            signing.number,
            step,
            signing.content,
            secret=signing.secret,
        ),
        who="who accepts the step: not who performed it",
    )


def correct_reading(requirement: str, readings: Sequence[str], latest: int, number: bool) -> SignedAct:
    """Correct an entry that somebody signed over; ``readings`` are those that stand, in words.

    ``number``: it is of a requirement that is measured, so that the instrument may have been entered wrong.
    """
    asks = [
        Asked("reading", "Reading", "number of the reading that is wrong, such as 3", str(latest)),
        Asked("value", "Right value", "with its unit, such as 312 F; empty takes the reading back"),
        Asked("because", "Because", "the reason, such as: read 312, typed 213"),
    ]
    if number:
        asks.append(
            Asked(
                "instrument",
                "Instrument",
                "where that was wrong, such as TH-2; with it alone the value stays",
            )
        )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        entry, because = whole_number("reading", typed["reading"]), reason(typed)
        if entry is None:
            raise FieldFault("reading", "expected the number of a reading listed above")
        return in_field(
            "value",
            lambda: supersede(
                signing.shop,
                signing.clock,
                signing.person,
                signing.number,
                entry,
                said_or_none(typed, "value"),
                because,
                said_or_none(typed, "instrument"),
                content=signing.content,
                secret=signing.secret,
            ),
        )

    return SignedAct(
        title=f"Correct {requirement}",
        says="I correct this entry; the wrong one stays on record, marked as superseded",
        gate=SupersedeReading(latest),
        carry_out=carry_out,
        asks=tuple(asks),
        about=tuple(readings),
        who="who corrects it: not who made the entry or signed",
    )


COUNTED = Asked("pieces", "Pieces", "how many are accepted, as you count them, such as 3")


def close_job(quantity: int = 1) -> SignedAct:
    """Close a job; its content is the code of the job's last event. Of a batch the accepted pieces are counted."""
    # Brings in the planning and the library, which nothing before this needs.
    from traveler.acts.issue import CLOSING, close

    return SignedAct(
        title="Close job",
        says=CLOSING,
        gate=JobAct("close"),
        carry_out=lambda signing, typed: close(
            signing.shop,
            signing.clock,
            signing.person,
            signing.number,
            head=signing.content,
            secret=signing.secret,
            pieces=whole_number("pieces", typed.get("pieces", "")),
        ),
        asks=(COUNTED,) if quantity > 1 else (),
        who="who closes the job",
    )
