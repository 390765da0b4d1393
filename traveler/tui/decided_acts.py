"""What is decided about a step, as acts to sign: points, nonconformances, questioned readings, what does not apply."""

from collections.abc import Mapping, Sequence
from typing import Any

from traveler.acts import nonconformance as ncr
from traveler.acts import points, settling
from traveler.acts.change import Outcome
from traveler.acts.clock import when
from traveler.acts.register import zone_of
from traveler.acts.signed_change import Signing
from traveler.job.decided import Disposition, PointKind
from traveler.job.gate import (
    Act,
    ActAtPoint,
    AnswerQuestion,
    DecideDisposition,
    OnNonconformance,
    OpenNonconformance,
    ProposeDisposition,
    SetNotApplicable,
)
from traveler.job.points import named
from traveler.job.requirement import Point
from traveler.report.decided_words import nonconformance_lines, nonconformance_title, point_lines
from traveler.tui.entered import (
    FieldFault,
    in_field,
    names,
    reason,
    said,
    said_or_none,
    whole_number,
    whole_numbers,
)
from traveler.tui.signed_act import Asked, CarryOut, SignedAct, Typed

Json = Mapping[str, Any]

NEEDED = Asked("because", "Because", "the reason in words, such as: the drawing was changed")
IF_ANY = Asked("because", "Because", "what is to be said of it, such as: looked at it myself; may stay empty")
RESULTS = ("complies", "does not comply")
ANSWERS = ("stands", "does not stand")


def release(step: int, point: Json) -> SignedAct:
    """Release a hold on what the step holds now."""
    return _at_point(
        "Release",
        "released",
        step,
        point,
        (IF_ANY,),
        lambda signing, typed: points.release(signing, step, point["point"], said_or_none(typed, "because")),
    )


def waive(step: int, point: Json) -> SignedAct:
    """Give up a hold or witness point for good."""
    return _at_point(
        "Waive",
        "waived",
        step,
        point,
        (NEEDED,),
        lambda signing, typed: points.waive(signing, step, point["point"], reason(typed)),
    )


def notify(step: int, point: Json) -> SignedAct:
    """Note that a party was told, and when."""
    at = Asked(
        "at", "When", "when the party was told, such as 2026-03-14T14:30; empty: now", placeholder="now"
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        in_field("at", lambda: when(typed.get("at"), signing.clock.now(), zone_of(signing.shop)))
        because = said_or_none(typed, "because")
        return points.notify(signing, step, point["point"], because, typed.get("at"))

    return _at_point("Notify", "notified", step, point, (at, IF_ANY), carry_out, who="who told the party")


def attend(step: int, point: Json) -> SignedAct:
    """Sign as the party that witnessed the step."""
    return _at_point(
        "Attend",
        "attended",
        step,
        point,
        (IF_ANY,),
        lambda signing, typed: points.attend(signing, step, point["point"], said_or_none(typed, "because")),
    )


def _at_point(
    verb: str,
    kind: PointKind,
    step: int,
    point: Json,
    asks: tuple[Asked, ...],
    carry_out: CarryOut,
    who: str = "",
) -> SignedAct:
    meant = Point(point["point"], point["kind"], point["party"])
    return SignedAct(
        title=f"{verb} {named(meant)}",
        says=points.MEANINGS[kind](meant),
        gate=ActAtPoint(step, meant.number, kind),
        carry_out=carry_out,
        asks=asks,
        about=tuple(point_lines({"points": [point]})),
        who=who or f"who signs for the {meant.party}",
    )


def open_nonconformance(step: int, quantity: str, joint: str, joints: Sequence[str]) -> SignedAct:
    """Say that something does not comply; proposed is the requirement that was looked at."""
    asks = [
        Asked("what", "Found", "what does not comply, such as: undercut 0.6 mm at the toe"),
        Asked(
            "quantity",
            "About",
            "a requirement, such as interpass temperature; empty: the step as a whole",
            quantity,
        ),
        Asked("readings", "Readings", "numbers such as 3, 4; empty: those outside the limit"),
    ]
    if len(joints) > 1:
        asks.insert(2, Asked("joint", "Joint", f"one of: {', '.join(joints)}; empty: all", joint))

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        what = said(typed, "what", "say what does not comply")
        about, of = said_or_none(typed, "quantity"), said_or_none(typed, "joint")
        readings = whole_numbers("readings", typed["readings"])
        return ncr.open_nonconformance(signing, step, what, about, of, readings)

    return SignedAct(
        title="Open a nonconformance",
        says="This does not comply",
        gate=OpenNonconformance(step),
        carry_out=carry_out,
        asks=tuple(asks),
        who="who found it",
    )


SOME = (
    Asked("pieces", "Pieces", "of scrap and return: how many are given up; empty: all of the job"),
    Asked("serials", "Serials", "theirs, with commas, where the pieces have serials"),
)


def propose(entry: Json, *, batch: bool = False) -> SignedAct:
    """Propose what is to be done about it; of a ``batch`` some pieces may be given up."""
    asks = (
        Asked("disposition", "Disposition", "a digit picks, or the arrows", options=ncr.DISPOSITIONS),
        Asked(
            "instruction",
            "Instruction",
            "what is to be done, such as: grind out, weld anew; or why it may stay",
        ),
        *(SOME if batch else ()),
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        disposition = said(typed, "disposition", "choose one of them")
        told = said(typed, "instruction", "say what is to be done, or why it may stay")
        pieces = whole_number("pieces", typed.get("pieces", ""))
        serials = names(typed.get("serials", ""))
        number = entry["nonconformance"]
        return in_field("pieces", lambda: ncr.propose(signing, number, disposition, told, pieces, serials))

    gate = ProposeDisposition(entry["nonconformance"], "rework")
    return _on(entry, "Propose a disposition of", "I propose this disposition", gate, carry_out, asks)


def decide(entry: Json, *, approve: bool) -> SignedAct:
    """Approve or refuse the disposition that was proposed last."""
    # Before anything is proposed the gate refuses whatever it is asked about.
    wanted: Disposition = entry["proposals"][-1]["disposition"] if entry["proposals"] else "rework"
    number = entry["nonconformance"]

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        because = said_or_none(typed, "because") if approve else reason(typed)
        return ncr.decide_disposition(signing, number, approve, because)

    verb = "approve" if approve else "refuse"
    return _on(
        entry,
        f"{verb.capitalize()} the disposition of",
        ncr.meaning_of(verb, wanted),
        DecideDisposition(number, wanted, approve),
        carry_out,
        (IF_ANY if approve else NEEDED,),
    )


def look_again(entry: Json) -> SignedAct:
    """The part looked at again after rework or repair."""
    asks = (
        Asked("what", "Looked at", "the examination and what it showed, such as: penetrant, no indication"),
        Asked("result", "Result", "a digit picks, or the arrows", options=RESULTS),
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        what = said(typed, "what", "say what was looked at and what it showed")
        result = said(typed, "result", "choose one of them")
        return ncr.reverify(signing, entry["nonconformance"], what, result == RESULTS[0])

    gate = OnNonconformance("re-verify", entry["nonconformance"])
    return _on(entry, "Re-verify", "I looked at the part again, with this result", gate, carry_out, asks)


def close(entry: Json) -> SignedAct:
    """Close it once what was approved is done."""
    return _on(
        entry,
        "Close",
        "What was approved is done",
        OnNonconformance("close", entry["nonconformance"]),
        lambda signing, typed: ncr.close_nonconformance(
            signing, entry["nonconformance"], said_or_none(typed, "because")
        ),
        (IF_ANY,),
    )


def void(entry: Json) -> SignedAct:
    """Say that it was opened in error."""
    return _on(
        entry,
        "Void",
        "This was opened in error",
        OnNonconformance("void", entry["nonconformance"]),
        lambda signing, typed: ncr.void_nonconformance(signing, entry["nonconformance"], reason(typed)),
        (NEEDED,),
    )


def _on(
    entry: Json, verb: str, says: str, gate: Act, carry_out: CarryOut, asks: tuple[Asked, ...]
) -> SignedAct:
    return SignedAct(
        title=f"{verb} nonconformance {entry['nonconformance']}",
        says=says,
        gate=gate,
        carry_out=carry_out,
        asks=asks,
        about=(nonconformance_title(entry), *nonconformance_lines(entry)),
    )


def answer(readings: Sequence[int], about: Sequence[str]) -> SignedAct:
    """Say whether readings stand whose instrument was found out of tolerance."""
    listed = ", ".join(map(str, readings))
    asks = (
        Asked("readings", "Readings", "numbers with commas, such as 3, 4", listed),
        Asked("answer", "They", "a digit picks, or the arrows", options=ANSWERS),
        NEEDED,
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        numbers = whole_numbers("readings", typed["readings"])
        if not numbers or not set(numbers) <= set(readings):
            raise FieldFault("readings", f"expected numbers of readings in question: {listed}")
        stands = said(typed, "answer", "choose one of them") == ANSWERS[0]
        return settling.answer_question(signing, stands, reason(typed), numbers)

    return SignedAct(
        title="Answer for readings in question",
        says="I answer for these readings",
        gate=AnswerQuestion(tuple(readings)),
        carry_out=carry_out,
        asks=asks,
        about=tuple(about),
    )


def not_applicable(step: int, requirement: Json) -> SignedAct:
    """Say that a requirement does not apply."""
    quantity, joint = requirement["quantity"], requirement["joint"]
    of = f" of {joint}" if joint else ""
    return SignedAct(
        title=f"Not applicable: {quantity}{of}",
        says="This requirement does not apply",
        gate=SetNotApplicable((step, quantity, joint)),
        carry_out=lambda signing, typed: settling.set_not_applicable(
            signing, step, quantity, joint, reason(typed)
        ),
        asks=(NEEDED,),
    )
