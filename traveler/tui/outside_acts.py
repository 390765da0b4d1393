"""Work that a vendor does, as acts to sign: sent, received, its certificate reviewed, a sending called off."""

from collections.abc import Mapping
from typing import Any

from traveler.acts import outside
from traveler.acts.change import Outcome
from traveler.acts.instrument_typed import day_typed
from traveler.acts.outside import NewReceipt, NewReview, NewSending
from traveler.acts.register import zone_of
from traveler.acts.signed_change import Signing
from traveler.job.gate import ActOutside
from traveler.job.sending import HEAT_NUMBER_WORDS
from traveler.report.outside_words import last_standing, outside_lines
from traveler.report.words import visible
from traveler.tui.entered import FieldFault, in_field, reason, said, said_or_none, whole_number, whole_numbers
from traveler.tui.signed_act import Asked, CarryOut, SignedAct, Typed

Json = Mapping[str, Any]

RESULTS = ("accepted", "not accepted")
AT = Asked("at", "When", "empty: now; else such as 2026-03-14T14:30", placeholder="now")


def acts_outside(step: Json, files: list[Json]) -> Mapping[str, SignedAct]:
    """The acts on a step by name; ``files``: what was attached to it since it was sent."""
    return {
        "send": send(step),
        "receive": receive(step),
        "review": review(step, files),
        "call_off": call_off(step),
    }


def next_act(step: Json) -> str:
    """The act that a step waits for by its plan and where its last sending stands; empty where it waits for none."""
    last = last_standing(step)
    if last is None:
        return "send" if step.get("outside") else ""
    return {"at vendor": "receive", "received": "review", "not accepted": "review"}.get(last["state"], "")


def send(step: Json) -> SignedAct:
    """Note that it went out."""
    planned = step.get("outside") or {"vendor": "", "order": None, "returns": None}
    papers = ", ".join(planned["returns"] or ())
    asks = (
        Asked("vendor", "Vendor", "who does the work, such as the heat treater by name", planned["vendor"]),
        Asked("order", "Order", "number of the order; may stay empty", planned["order"] or ""),
        Asked("what", "What", "what is sent; empty: the part", placeholder="the part"),
        Asked("pieces", "Pieces", "how many; empty: all of the job", placeholder="all"),
        Asked(
            "requirement",
            "Goes along",
            "the document and its revision, such as drawing UB-7 rev B; empty: the traveler alone",
        ),
        Asked("papers", "To come back", "papers, with commas; empty: the usual ones", papers),
        Asked(
            "expected", "Expected", "the day on which it is to be back, such as 2026-03-05; may stay empty"
        ),
        AT,
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        said(typed, "vendor", "say who does the work")
        expected = said_or_none(typed, "expected")
        if expected is not None:
            in_field("expected", lambda: day_typed(expected, "expected"))
        _refuse_no_time(signing, typed)
        wanted = _listed(typed["papers"])
        new = NewSending(
            typed["vendor"],
            said_or_none(typed, "order"),
            said_or_none(typed, "what"),
            whole_number("pieces", typed["pieces"]),
            said_or_none(typed, "requirement"),
            wanted or None,
            expected,
            typed.get("at"),
        )
        return in_field("pieces", lambda: outside.send(signing, step["number"], new))

    return _act(
        step, "Send to a vendor", outside.SENT_MEANING, ActOutside(step["number"], "send"), asks, carry_out
    )


def receive(step: Json) -> SignedAct:
    """Note that it is back."""
    asks = (
        Asked("pieces", "Pieces", "how many are back; empty: all that are out", placeholder="all"),
        Asked("condition", "As found", "such as: clean, scale at the weld, wrapped as sent"),
        Asked("heat_number", "Heat number", "a digit picks, or the arrows", options=HEAT_NUMBER_WORDS),
        Asked("damage", "Damage", "what is damaged; empty: nothing"),
        AT,
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        _refuse_no_time(signing, typed)
        new = NewReceipt(
            said(typed, "condition", "say how it was found"),
            said(typed, "heat_number", "choose one of them"),
            whole_number("pieces", typed["pieces"]),
            said_or_none(typed, "damage"),
            typed.get("at"),
        )
        return in_field("pieces", lambda: outside.receive(signing, step["number"], new))

    gate = ActOutside(step["number"], "receive")
    who = "who received it: not who reviews the certificate"
    return _act(step, "Receive from the vendor", outside.RECEIVED_MEANING, gate, asks, carry_out, who=who)


def review(step: Json, files: list[Json]) -> SignedAct:
    """Say what came of looking at the papers; files and missing papers are named by their numbers."""
    last = last_standing(step)
    wanted = last["returns"] if last is not None else []
    listed = [f"File {at}: {visible(file['name'])}" for at, file in enumerate(files, start=1)]
    listed = listed or ["No file was attached to this step since it was sent."]
    listed += [f"Paper {at}: {visible(paper)}" for at, paper in enumerate(wanted, start=1)]
    asks = (
        Asked("files", "Files", "their numbers above, such as 1, 2; empty: all of them", placeholder="all"),
        Asked("missing", "Missing", "numbers of the papers above that did not come; empty: none is missing"),
        Asked("held_against", "Held against", "such as: heat number on the paper against the part; 212 HV"),
        Asked("result", "Result", "a digit picks, or the arrows", options=RESULTS),
        Asked(
            "because", "Because", "why it is not accepted, or a remark; may stay empty where it is accepted"
        ),
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        result = said(typed, "result", "choose one of them")
        held = said(typed, "held_against", "say what was held against what")
        accepts = result == RESULTS[0]
        because = said_or_none(typed, "because") if accepts else reason(typed)
        looked_at = _numbered("files", typed["files"], [file["sha256"] for file in files])
        missing = _numbered("missing", typed["missing"], wanted)
        return outside.review(signing, step["number"], NewReview(accepts, held, looked_at, missing, because))

    gate = ActOutside(step["number"], "review")
    title, who = "Review the certificate", "who reviews: not who received it or did the work"
    return _act(step, title, outside.REVIEWED_MEANING, gate, asks, carry_out, tuple(listed), who)


def call_off(step: Json) -> SignedAct:
    """Say that it did not go out, or came back undone."""
    asks = (Asked("because", "Because", "such as: the furnace broke down, it came back undone"),)
    return _act(
        step,
        "Call the sending off",
        outside.CALLED_OFF_MEANING,
        ActOutside(step["number"], "call off"),
        asks,
        lambda signing, typed: outside.call_off(signing, step["number"], reason(typed)),
    )


def _act(
    step: Json,
    title: str,
    says: str,
    gate: ActOutside,
    asks: tuple[Asked, ...],
    carry_out: CarryOut,
    about: tuple[str, ...] = (),
    who: str = "who signs",
) -> SignedAct:
    return SignedAct(
        title=title,
        says=says,
        gate=gate,
        carry_out=carry_out,
        asks=asks,
        about=(*about, *outside_lines(step)),
        who=who,
    )


def _refuse_no_time(signing: Signing, typed: Typed) -> None:
    in_field(
        "at", lambda: outside.time_at_vendor(typed.get("at"), signing.clock.now(), zone_of(signing.shop))
    )


def _listed(typed: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in typed.split(",") if part.strip())


def _numbered(field: str, typed: str, entries: list[str]) -> tuple[str, ...]:
    """The entries by their numbers from 1. Raises FieldFault."""
    numbers = whole_numbers(field, typed)
    if any(not 1 <= number <= len(entries) for number in numbers):
        expected = f"numbers from 1 to {len(entries)}" if entries else "nothing: there is none above"
        raise FieldFault(field, f"expected {expected}")
    return tuple(entries[number - 1] for number in numbers)
