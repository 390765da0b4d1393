"""The shop's register as it stands, and how an act adds to it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from traveler.acts.clock import Clock, in_zone, written
from traveler.acts.entry import Entry, Refusal
from traveler.acts.typed import by_of
from traveler.job.person import Person, plain_name
from traveler.job.register import Register
from traveler.job.register_fold import extend_register
from traveler.record.links import refuse_altered
from traveler.record.log import SHOP_STREAM
from traveler.record.shop import Shop, StoredEvent, Writing

if TYPE_CHECKING:
    from traveler.job.part_fold import Parts

Decide = Callable[[Register, datetime, Writing], Entry | Refusal]
OF_A_PART = "part "
"""Kinds of event that are about a part begin with it."""


@dataclass(frozen=True, slots=True)
class Entered:
    """What came of an act on the register: like the outcome of an act on a job, with the register after it.

    ``reasons``: why it was refused, or what else is to be known of what was entered.
    """

    recorded: bool
    complies: bool
    message: str
    register: Register
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Kept:
    """What stands after the event that has this link; the link stands for everything before it, of one shop.

    ``told_of_parts``: the events that ``parts`` follow from. They are folded anew with each that is added, since
    one may say that an earlier one was wrong.
    """

    seq: int
    link: bytes
    register: Register
    told_of_parts: tuple[Mapping[str, Any], ...] = ()
    parts: "Parts" = field(default_factory=dict)


_kept: _Kept | None = None


def register_of(shop: Shop | Writing) -> Register:
    """The register as the shop's own stream says; inside a write it holds until that ends.

    Only what was added since the last call is read and folded. TravelerError where one of its events was altered.
    """
    return _stands(shop).register


def parts_of(shop: Shop | Writing) -> "Parts":
    """The parts of the shop, as ``register_of`` reads its register."""
    return _stands(shop).parts


def _stands(shop: Shop | Writing) -> _Kept:
    global _kept
    known = _kept
    new = None if known is None else shop.events_after(SHOP_STREAM, known.seq, known.link)
    if known is None or new is None:
        # Another shop, or a write that was rolled back.
        stands, new, before = _Kept(0, b"", Register()), shop.events(SHOP_STREAM), None
    else:
        stands, before = known, known.link
    refuse_altered(new, before)
    if not new:
        return stands
    register = stands.register
    for event in new:
        register = extend_register(register, event.data)
    added = tuple(event.data for event in new if event.data["kind"].startswith(OF_A_PART))
    told = stands.told_of_parts + added
    _kept = _Kept(new[-1].seq, new[-1].hash, register, told, _parts(told) if added else stands.parts)
    return _kept


def _parts(told: Sequence[Mapping[str, Any]]) -> "Parts":
    # Most shops have no parts under their serials, and none of them waits for this.
    from traveler.job.part_fold import fold_parts

    return fold_parts(told)


def enter(shop: Shop, clock: Clock, person: Person, decide: Decide) -> tuple[Register, tuple[str, ...]]:
    """Run ``decide`` on the register inside one transaction and append what it says; the register after it.

    With the reasons where it was refused, which leaves the register as it was.
    """
    with shop.write() as writing:
        now = shop_now(writing, clock)
        register = register_of(writing)
        entry = decide(register, now, writing)
        if isinstance(entry, Refusal):
            return register, entry.reasons
        append_to_shop(writing, person, entry, now)
        # Not extended by the one event: what was decided may have added others before it.
        return register_of(writing), ()


def append_to_shop(writing: Writing, person: Person, entry: Entry, now: datetime) -> StoredEvent:
    """Append one event to the shop's own stream. Raises BadInput where nobody says who did it."""
    return append_to(writing, SHOP_STREAM, person, entry, now)


def append_to(writing: Writing, stream: str, person: Person, entry: Entry, now: datetime) -> StoredEvent:
    """Append one event, both times in the shop's zone. Raises BadInput where nobody says who did it."""
    zone = zone_of(writing)
    return writing.append(
        stream,
        entry.kind,
        by=by_in(writing, person),
        happened_at=written(in_zone(entry.happened_at or now, zone)),
        recorded_at=written(in_zone(now, zone)),
        act=entry.act,
    )


def zone_of(shop: Shop | Writing) -> str | None:
    """The zone of the shop's clocks; None where none is set, and those of the machine count."""
    return register_of(shop).settings.get("zone")


def shop_now(shop: Shop | Writing, clock: Clock) -> datetime:
    """The present instant with the offset of the shop's zone, so that its day is the shop's, too."""
    return in_zone(clock.now(), zone_of(shop))


def known(register: Register, person: Person) -> Person:
    """The person as the register has them, by name or id; as stated where it does not know the name.

    Raises BadInput for a name that several bear.
    """
    if person.id is not None:
        return person
    wanted = plain_name(person.name)
    names = {plain_name(name) for entry in register.people for name in (entry.id, entry.name)}
    return register.person(person.name).acting(person.how) if wanted in names else person


def by_in(shop: Shop | Writing, person: Person) -> dict[str, Any]:
    """Who does it, as an event of this shop keeps it. Raises BadInput where nobody says who that is."""
    return by_of(known(register_of(shop), person))
