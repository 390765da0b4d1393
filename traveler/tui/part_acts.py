"""Acts on parts, with the fields of their commands. Every call of these acts is made here."""

from collections.abc import Callable, Mapping
from typing import Any

from traveler.acts import parts
from traveler.acts.clock import Clock
from traveler.acts.instrument_typed import day_typed
from traveler.acts.parts import Amount, Signing
from traveler.acts.register import Entered
from traveler.report.part_text import entry_words
from traveler.tui.entered import FieldFault, Told, in_field, reason, said, said_or_none, whole_number
from traveler.tui.register_act import Doubt, Entering, RegisterAct, Typed, look_at
from traveler.tui.register_acts import BECAUSE, told_of
from traveler.tui.signed_act import Asked

Json = Mapping[str, Any]
About = tuple[str, ...]

ON = Asked("on", "On", "the day, such as 2026-03-02; empty: today", placeholder="today")
FIT, NOT_FIT = "fit", "not fit"
LAST_ENTRIES = 5
AMOUNTS = (
    Asked("events", "Events", "how many, a whole number; may stay empty"),
    Asked("hours", "Hours", "running time, such as 2.5 h; may stay empty"),
    Asked("distance", "Distance", "how far, such as 180 km or 110 mi; may stay empty"),
)
BY_COUNTER = {
    "events": "the part is inspected by events: say how many, 0 for none",
    "hours": "the part is inspected by hours: say how many, 0 h for none",
    "distance": "the part is inspected by distance: say how far, 0 km for none",
}


def register(jobs: About) -> RegisterAct:
    """Give the part of a closed job its serial."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        serial = said(typed, "serial", "the serial is missing; expected what is marked on the part")
        job = said(typed, "job", "the job is missing; expected the number of a closed job")
        design = said_or_none(typed, "design")
        return _entered(entering, "serial", parts.register_part, job, serial, design)

    return RegisterAct(
        title="Give a part its serial",
        says="This part came out of that job",
        carry_out=carry_out,
        asks=(
            Asked("job", "Job", "the closed job that it was made in", value=jobs[0] if jobs else ""),
            Asked("serial", "Serial", "what is marked on the part, such as RU-7"),
            Asked(
                "design",
                "Design",
                "what its spares are known by",
                placeholder="empty: the part or the title of the sheet",
            ),
        ),
        about=("Its dimensions as built come along from the inspection of the job.",),
        look=look_at(_read_registered),
    )


def _read_registered(clock: Clock, typed: Typed) -> None:
    said(typed, "job", "the job is missing; expected the number of a closed job")
    said(typed, "serial", "the serial is missing; expected what is marked on the part")


def set_interval(part: Json, about: About) -> RegisterAct:
    """When the part is inspected again."""

    def read(clock: Clock, typed: Typed) -> tuple[Amount, str]:
        months = whole_number("months", typed.get("months", ""))
        in_field("months", lambda: parts.whole_typed(months, "months", least=1))
        amount = _amount(typed, above_zero=True, months=months)
        if amount == Amount():
            raise FieldFault("events", "no interval is given: say events, hours, a distance or months")
        return amount, reason(typed)

    def carry_out(entering: Entering, typed: Typed) -> Told:
        amount, because = read(entering.clock, typed)
        return _entered(entering, "events", parts.set_interval, part["serial"], amount, because)

    return RegisterAct(
        title=f"When {part['serial']} is inspected again",
        says="It is inspected again then, whichever comes first",
        carry_out=carry_out,
        asks=(*AMOUNTS, Asked("months", "Months", "calendar months; may stay empty"), BECAUSE),
        about=("What stays empty does not count any more.", *about),
        look=look_at(read),
    )


def install(part: Json, about: About) -> RegisterAct:
    """The part is on a car."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        car, on = said(typed, "car", "say which car: its name or number"), _day(typed)
        return _entered(entering, "on", parts.install, part["serial"], car, on)

    return RegisterAct(
        title=f"Install {part['serial']}",
        says="The part is on that car",
        carry_out=carry_out,
        asks=(Asked("car", "Car", "its name or number"), ON),
        about=about,
        look=look_at(lambda clock, typed: said(typed, "car", "say which car: its name or number")),
    )


def remove(part: Json, about: About) -> RegisterAct:
    """The part was taken off its car."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        because, on = reason(typed), _day(typed)
        return _entered(entering, "on", parts.remove, part["serial"], because, on)

    where = f" from {part['car']}" if part["car"] else ""
    return RegisterAct(
        title=f"Take {part['serial']} off{where}",
        says="The part is on no car",
        carry_out=carry_out,
        asks=(BECAUSE, ON),
        about=about,
        look=look_at(lambda clock, typed: reason(typed)),
    )


def use(part: Json, about: About) -> RegisterAct:
    """The part was driven."""
    counted = [entry["counter"] for entry in part["since_inspection"] if entry["limit"]]

    def read(clock: Clock, typed: Typed) -> tuple[str, Amount, str | None]:
        what = said(typed, "what", "say what it was used for: an event in words")
        for counter in counted:
            said(typed, counter, BY_COUNTER[counter])
        amount = _amount(typed, above_zero=False)
        if amount == Amount():
            raise FieldFault("events", "say how much it was used: events, hours or a distance")
        return what, amount, _day(typed)

    def carry_out(entering: Entering, typed: Typed) -> Told:
        what, amount, on = read(entering.clock, typed)
        return _entered(entering, "on", parts.use, part["serial"], what, amount, on)

    return RegisterAct(
        title=f"Use of {part['serial']}",
        says="It was driven so much",
        carry_out=carry_out,
        asks=(Asked("what", "What for", "an event in words"), *AMOUNTS, ON),
        about=about,
        look=look_at(read),
    )


def crash(part: Json, about: About) -> RegisterAct:
    """The part was in a crash."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        what, on = said(typed, "what", "say what happened, in words"), _day(typed)
        return _entered(entering, "on", parts.crash, part["serial"], what, on)

    return RegisterAct(
        title=f"Crash with {part['serial']}",
        says="The part was in a crash: it is inspected before it is used again",
        carry_out=carry_out,
        asks=(Asked("what", "What", "what happened, in words"), ON),
        about=about,
        look=look_at(lambda clock, typed: said(typed, "what", "say what happened, in words")),
    )


def inspect(part: Json, about: About) -> RegisterAct:
    """The part was inspected; each dimension as built has a field of its own."""
    built = part["as_built"]

    def read(clock: Clock, typed: Typed) -> tuple[str, bool, dict[str, str], str | None]:
        finding = said(typed, "finding", "say what was looked at, how, and what was found")
        result = said(typed, "result", "choose one of them")
        sizes = {}
        for at, entry in enumerate(built):
            size = said_or_none(typed, _size_key(at))
            if size is not None:
                _length(_size_key(at), size)
                sizes[entry["dimension"]] = size
        return finding, result == FIT, sizes, _day(typed)

    def carry_out(entering: Entering, typed: Typed) -> Told:
        finding, fit, sizes, on = read(entering.clock, typed)
        return _entered(entering, "on", parts.inspect, part["serial"], finding, fit, sizes, on)

    def look(clock: Clock, typed: Typed) -> Doubt | None:
        _, _, sizes, _ = read(clock, typed)
        for at, entry in enumerate(built):
            size = sizes.get(entry["dimension"])
            if size is not None and parts.far_off(size, entry["size"]):
                asked = f"{size} is far from {entry['size']} as built; once more to enter it"
                return Doubt(_size_key(at), asked, about)
        return None

    sizes = (Asked(_size_key(at), entry["dimension"], _size_hint(entry)) for at, entry in enumerate(built))
    return RegisterAct(
        title=f"Inspect {part['serial']}",
        says="This is how the part was found",
        carry_out=carry_out,
        asks=(
            Asked("finding", "Finding", "what was looked at, how, and what was found: cracks, bend, wear"),
            Asked("result", "Result", "fit sets its counters to zero: a digit picks", options=(FIT, NOT_FIT)),
            *sizes,
            ON,
        ),
        about=about,
        look=look,
    )


def _size_hint(entry: Json) -> str:
    title = f"{entry['title']}; " if entry.get("title") else ""
    return f"{title}measured, with its unit; as built {entry['size']}; may stay empty"


def _length(field: str, size: str) -> None:
    in_field(field, lambda: parts.size_typed(size))


def _size_key(at: int) -> str:
    return f"size{at}"


def withdraw(part: Json, about: About) -> RegisterAct:
    """The part goes out of use."""

    def carry_out(entering: Entering, typed: Typed) -> Told:
        because, on = reason(typed), _day(typed)
        return _entered(entering, "on", parts.withdraw, part["serial"], because, on)

    return RegisterAct(
        title=f"Withdraw {part['serial']}",
        says="This part is used no longer",
        carry_out=carry_out,
        asks=(BECAUSE, ON),
        about=("For good: it is not brought back. Its history stays.", *about),
        look=look_at(lambda clock, typed: reason(typed)),
    )


def correct(part: Json, about: About) -> RegisterAct:
    """An entry of its life is wrong and counts no more."""

    def read(typed: Typed) -> tuple[int, str]:
        entry = whole_number("entry", typed.get("entry", ""))
        if entry is None:
            raise FieldFault("entry", "say which entry: its number, as the history of the part has it")
        return entry, reason(typed)

    def carry_out(entering: Entering, typed: Typed) -> Told:
        entry, because = read(typed)
        return _entered(entering, "entry", parts.correct, part["serial"], entry, because)

    latest = [entry for entry in part["history"][1:] if not entry["superseded"]]
    return RegisterAct(
        title=f"A wrong entry of {part['serial']}",
        says="This entry is wrong and counts no more",
        carry_out=carry_out,
        asks=(
            Asked(
                "entry",
                "Entry",
                "its number in the history",
                value=str(latest[-1]["entry"]) if latest else "",
            ),
            BECAUSE,
        ),
        about=(
            "It stays in the history with the reason. What is right is entered anew.",
            *map(entry_words, latest[-LAST_ENTRIES:]),
            *about,
        ),
        look=look_at(lambda clock, typed: read(typed)),
    )


def _entered(entering: Entering, field: str, act: Callable[..., Entered], *given: object) -> Told:
    """What came of an act by whoever is at the keyboard; what it cannot take is told at ``field``."""
    by = Signing(entering.person, entering.secrets.own)
    return told_of(in_field(field, lambda: act(entering.shop, entering.clock, by, *given)))


def _day(typed: Typed) -> str | None:
    day = said_or_none(typed, "on")
    if day is not None:
        in_field("on", lambda: day_typed(day, "the day"))
    return day


def _amount(typed: Typed, *, above_zero: bool, months: int | None = None) -> Amount:
    """What was typed into the fields of amounts, each looked at by itself."""
    events = whole_number("events", typed.get("events", ""))
    hours, distance = said_or_none(typed, "hours"), said_or_none(typed, "distance")
    in_field("events", lambda: parts.whole_typed(events, "events", least=1 if above_zero else 0))
    in_field("hours", lambda: parts.hours_typed(hours, above_zero=above_zero))
    in_field("distance", lambda: parts.distance_typed(distance, above_zero=above_zero))
    return Amount(events, hours, distance, months)
