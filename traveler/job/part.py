"""A part after its job: where it is, what it went through, and whether it is to be inspected again. Pure."""

from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Literal, get_args

from traveler.job.person import Moment, Person
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import decimal_text, finite_decimal, rounded_down, show, show_both
from traveler.quantity.units import Unit

State = Literal[
    "fit", "no interval set", "not shown", "inspection due", "inspect now", "not fit", "withdrawn"
]
STATES: tuple[State, ...] = get_args(State)
"""From the least to the most that is to be done."""
DECIMALS = 3


@dataclass(frozen=True, slots=True)
class Measured:
    """A dimension by its id, as measured; ``title`` says what is measured, empty where nothing does."""

    dimension: str
    size: Quantity
    title: str = ""


@dataclass(frozen=True, slots=True)
class Interval:
    """When a part is to be inspected again, whichever comes first; None where that does not count."""

    events: int | None = None
    hours: Quantity | None = None
    distance: Quantity | None = None
    months: int | None = None


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that befell the part on a day: ``words`` to read, by whom, and its place in the log.

    ``superseded``: by which entry it was taken back as wrong, and why; it counts no more. None where it counts.
    """

    on: date
    words: str
    by: Person
    moment: Moment
    superseded: str | None = field(default=None, kw_only=True)


@dataclass(frozen=True, slots=True)
class Use(Happening):
    """It was driven: how many events, hours, how far; None where that was not said."""

    events: int | None
    hours: Quantity | None
    distance: Quantity | None


@dataclass(frozen=True, slots=True)
class Crash(Happening):
    """Whatever the counters say, it is to be inspected before it is used again."""


@dataclass(frozen=True, slots=True)
class Correction(Happening):
    """An entry was wrong and counts no more."""


@dataclass(frozen=True, slots=True)
class Look(Happening):
    """An inspection: fit for use or not, and what was measured."""

    fit: bool
    measured: tuple[Measured, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A part by its serial, as the shop's own events say.

    ``looks`` begins with the job that it was made in: that was its first inspection. ``history``: everything, in the
    order in which it was written, what was superseded too; ``looks``, ``uses`` and ``crashes`` are what counts.
    ``car``: what it is on, None where it lies in the store.
    """

    serial: str
    design: str
    job: str
    revision: int
    code: str
    as_built: tuple[Measured, ...]
    looks: tuple[Look, ...]
    interval: Interval = Interval()
    uses: tuple[Use, ...] = ()
    crashes: tuple[Crash, ...] = ()
    car: str | None = None
    withdrawn: str | None = None
    history: tuple[Happening, ...] = ()


@dataclass(frozen=True, slots=True)
class Counter:
    """One counter since the last inspection: ``used`` of ``limit`` in words; ``unknown`` uses did not say it.

    ``left``: what remains until the limit, in words; ``share``: how much of it is used. None without a limit.
    """

    name: str
    used: str
    limit: str | None
    reached: bool
    unknown: int = 0
    left: str | None = None
    share: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Standing:
    """Whether the part may be relied on at a day, why not, and every counter.

    ``nearest``: the limit of which the greatest share is used, the calendar among them, with what is left of it; None
    where there is no limit, and where a use did not say how much it was.
    """

    state: State
    reasons: tuple[str, ...]
    counters: tuple[Counter, ...]
    due_on: date | None
    nearest: str | None


def standing(part: Part, today: date) -> Standing:
    """How a part stands at ``today``: the gravest of what is true of it.

    Counters run from the last inspection that found it fit. A limit that is reached is due, on the day of the calendar
    itself as well. What a use did not say is never taken as nothing: then the counter shows nothing.
    """
    fits = [look for look in part.looks if look.fit]
    last, fit = _latest(part.looks), _latest(fits)
    due_on = None if part.interval.months is None else months_later(fit.on, part.interval.months)
    counters = tuple(_counters(part, [use for use in part.uses if _after(use, fit)]))
    found: list[tuple[State, str]] = []
    if part.withdrawn is not None:
        found.append(("withdrawn", f"withdrawn: {part.withdrawn}"))
    if not last.fit:
        found.append(("not fit", f"found not fit on {last.on}: {last.words}"))
    found += [
        ("inspect now", f"{crash.words} on {crash.on}") for crash in part.crashes if not _seen(crash, fits)
    ]
    found += [("inspection due", f"{c.used} of {c.limit} since {fit.on}") for c in counters if c.reached]
    if due_on is not None and today >= due_on:
        found.append(("inspection due", f"{part.interval.months} months since {fit.on} ended on {due_on}"))
    for counter in counters:
        if counter.unknown and counter.limit is not None:
            uses = "1 use" if counter.unknown == 1 else f"{counter.unknown} uses"
            found.append(("not shown", f"{uses} since {fit.on} did not say the {counter.name}"))
    if part.interval == Interval():
        found.append(("no interval set", "nobody said when it is to be inspected again"))
    gravest: State = max((state for state, _ in found), key=STATES.index, default="fit")
    nearest = _nearest(counters, fit.on, due_on, today)
    return Standing(gravest, tuple(words for _, words in found), counters, due_on, nearest)


def _nearest(counters: Sequence[Counter], since: date, due_on: date | None, today: date) -> str | None:
    """Amounts of different kinds are compared by the share of their limit that is used."""
    if any(counter.unknown and counter.limit is not None for counter in counters):
        return None
    found = [
        (counter.share, f"{counter.left} left of {counter.limit}")
        for counter in counters
        if counter.share is not None
    ]
    if due_on is not None:
        days = max((due_on - today).days, 0)
        share = Fraction((today - since).days, (due_on - since).days)
        found.append((share, f"{days} day{'' if days == 1 else 's'} left until {due_on}"))
    return max(found, default=(None, None), key=lambda entry: entry[0] or Fraction(0))[1]


def months_later(day: date, months: int) -> date:
    """The same day of a later month, or its last day where it has no such day: never later."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def counted(events: int) -> str:
    """ "1 event", "3 events"."""
    return f"{events} event{'' if events == 1 else 's'}"


def totals(part: Part) -> tuple[Counter, ...]:
    """The counters over the whole life, without limits."""
    return tuple(_rows(part.uses, Interval()))


def against_as_built(part: Part, measured: Measured) -> str:
    """ "D1 38.4 mm, as built 38.12 mm: +0.28 mm"; without the comparison where it was not measured then."""
    words = f"{measured.dimension} {show(measured.size)}"
    built = next((entry for entry in part.as_built if entry.dimension == measured.dimension), None)
    if built is None:
        return f"{words}, not measured as built"
    unit = measured.size.unit
    difference = measured.size.number - unit.from_canonical(built.size.canonical)
    was = show(built.size) if built.size.unit == unit else show_both(built.size)
    return f"{words}, as built {was}: {_signed(difference, unit)}"


def _signed(number: Fraction, unit: Unit) -> str:
    text = finite_decimal(number, DECIMALS) or decimal_text(number, DECIMALS)
    return f"{'+' if number > 0 else ''}{text} {unit.label}"


def _latest(looks: Sequence[Look]) -> Look:
    """By its day; of one day the one that was entered last. There is one: the job that the part was made in."""
    return max(looks, key=lambda look: (look.on, look.moment.seq))


def _after(use: Use, look: Look) -> bool:
    """On one day the order of the entries decides."""
    return (use.on, use.moment.seq) > (look.on, look.moment.seq)


def _seen(crash: Crash, fits: Sequence[Look]) -> bool:
    """An inspection clears a crash only where it is of that day or later and whoever looked could know of it."""
    return any(crash.on <= look.on and crash.moment.seq < look.moment.seq for look in fits)


def _counters(part: Part, uses: Sequence[Use]) -> Iterator[Counter]:
    yield from _rows(uses, part.interval)


def _rows(uses: Sequence[Use], interval: Interval) -> Iterator[Counter]:
    events = [use.events for use in uses]
    total = sum(count for count in events if count is not None)
    limit = interval.events
    reached = limit is not None and total >= limit
    said = None if limit is None else counted(limit)
    left = None if limit is None else counted(max(limit - total, 0))
    share = None if limit is None else Fraction(total, limit)
    yield Counter("events", counted(total), said, reached, events.count(None), left, share)
    yield _row("hours", [use.hours for use in uses], interval.hours)
    yield _row("distance", [use.distance for use in uses], interval.distance)


def _row(name: str, sizes: Sequence[Quantity | None], limit: Quantity | None) -> Counter:
    """Summed exactly, shown in the unit of the limit, else of the first use."""
    known = [size for size in sizes if size is not None]
    total = sum((size.canonical for size in known), Fraction(0))
    reached = limit is not None and total >= limit.canonical
    like = limit or next(iter(known), None)
    used = "0" if like is None else _in_unit(total, like.unit)
    unknown = len(sizes) - len(known)
    if limit is None:
        return Counter(name, used, None, reached, unknown)
    left = _in_unit(max(limit.canonical - total, Fraction(0)), limit.unit)
    return Counter(name, used, show(limit), reached, unknown, left, total / limit.canonical)


def _in_unit(canonical: Fraction, unit: Unit) -> str:
    """Never up: what has not reached its limit must not read as if it had, and no more must be left than is."""
    number = unit.from_canonical(canonical)
    return f"{finite_decimal(number, DECIMALS) or rounded_down(number, DECIMALS)} {unit.label}"
