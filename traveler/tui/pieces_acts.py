"""What becomes of the pieces of a job, as acts to sign: split off, gone, joined, taken out."""

from collections.abc import Callable, Mapping
from typing import Any, get_args

from traveler.acts import pieces
from traveler.acts.change import Outcome
from traveler.acts.signed_change import Signing
from traveler.errors import BadInput, TravelerError
from traveler.job.gate import JobAct, SplitOff, TakeOutComponent
from traveler.job.pieces import Way
from traveler.tui.entered import FieldFault, in_field, names, reason, said, whole_number
from traveler.tui.signed_act import Asked, SignedAct, Typed

Json = Mapping[str, Any]

SERIALS = Asked("serials", "Serials", "of these pieces, with commas, where they have serials")
BECAUSE = Asked("because", "Because", "the reason in words, such as: two are needed at once")
WAYS = ("scrapped", "lost")


def acts_of(traveler: Json, component: str | None) -> Mapping[str, SignedAct]:
    """The acts on a job; of taking out only where ``component`` is one."""
    acts = {name: make(traveler) for name, make in MAKERS.items()}
    return acts if component is None else {**acts, "out": _take_out(component)}


def _split(traveler: Json) -> SignedAct:
    found = traveler.get("pieces") or {}
    used = {serial for use in found.get("used_in", ()) for serial in use["serials"]}
    free = tuple(serial for serial in found.get("serials", ()) if serial not in used)
    asks = (
        Asked("pieces", "Pieces", "how many go on by themselves, such as 2"),
        SERIALS,
        Asked("as", "As job", f"the number of their job, such as {traveler['job']}-2"),
        BECAUSE,
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        count, new = _count(typed), said(typed, "as", "give their job a number")
        serials, because = names(typed.get("serials", "")), reason(typed)
        try:
            return in_field("as", lambda: pieces.split(signing, new, count, serials, because))
        except BadInput:
            raise
        except TravelerError as error:
            raise FieldFault("as", str(error)) from error

    return SignedAct(
        title="Split off pieces",
        says="These pieces go on as a job of their own, with what was done up to now",
        gate=SplitOff(1, free[:1]),
        carry_out=carry_out,
        asks=asks,
        who="who splits the job",
    )


def _gone(traveler: Json) -> SignedAct:
    asks = (
        Asked("way", "They were", "a digit picks, or the arrows", options=WAYS),
        Asked("pieces", "Pieces", "how many, such as 1"),
        SERIALS,
        Asked("because", "Because", "what happened to them, such as: bent in the vice"),
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        said_way = said(typed, "way", "choose one of them")
        way = next(known for known in get_args(Way) if known == said_way)
        count, serials, because = _count(typed), names(typed.get("serials", "")), reason(typed)
        return in_field("pieces", lambda: pieces.take_out_pieces(signing, way, count, serials, because))

    return SignedAct(
        title="Pieces that are gone",
        says="These pieces are no longer in the job",
        gate=JobAct("record"),
        carry_out=carry_out,
        asks=asks,
        who="who says so",
    )


def _join(traveler: Json) -> SignedAct:
    steps = [step["number"] for step in traveler["steps"] if step["kind"] == pieces.ASSEMBLE]
    asks = (
        Asked("job", "Job", "the number of the job whose pieces are joined"),
        Asked("pieces", "Pieces", "how many of them, such as 1", "1"),
        SERIALS,
        Asked("step", "Step", "at which step", str(steps[0]) if len(steps) == 1 else ""),
    )

    def carry_out(signing: Signing, typed: Typed) -> Outcome:
        job, count = said(typed, "job", "name the job whose pieces are joined"), _count(typed)
        step, serials = whole_number("step", typed.get("step", "")), names(typed.get("serials", ""))
        try:
            return in_field("step", lambda: pieces.join(signing, job, count, serials, step))
        except BadInput:
            raise
        except TravelerError as error:
            raise FieldFault("job", str(error)) from error

    return SignedAct(
        title="Join a component",
        says="These pieces are in this assembly",
        gate=JobAct("record"),
        carry_out=carry_out,
        asks=asks,
        who="who joins them",
    )


def _take_out(component: str) -> SignedAct:
    return SignedAct(
        title=f"Take out component {component}",
        says="These pieces are no longer in this assembly",
        gate=TakeOutComponent(component),
        carry_out=lambda signing, typed: pieces.take_out_component(signing, component, reason(typed)),
        asks=(Asked("because", "Because", "the reason in words, such as: the wrong part"),),
        who="who takes them out",
    )


def _count(typed: Typed) -> int:
    count = whole_number("pieces", typed.get("pieces", ""))
    if not count:
        raise FieldFault("pieces", "say how many pieces, such as 1")
    return count


MAKERS: Mapping[str, Callable[[Json], SignedAct]] = {"split": _split, "gone": _gone, "join": _join}
