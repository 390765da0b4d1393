"""Print paper for the shop: a blank traveler, a tag for a hot part, a label. Writes no event."""

from dataclasses import dataclass

from traveler.acts.change import load_job
from traveler.acts.clock import Clock, in_zone, when, written
from traveler.acts.look import Paper, exported_object, usual_paper
from traveler.acts.register import register_of
from traveler.errors import BadInput
from traveler.quantity.parse import QuantityError, echo, parse_quantity
from traveler.quantity.show import show_both
from traveler.quantity.units import Kind as Measured
from traveler.record.shop import Shop
from traveler.report.shop_paper import Kind, blank_traveler, hot_tag, part_label
from traveler.report.words import stamp


@dataclass(frozen=True, slots=True)
class Wanted:
    """What to print. ``steps`` for a blank traveler, ``temperature`` and ``time`` as typed for a tag."""

    kind: Kind
    paper: Paper | None = None
    steps: tuple[int, ...] = ()
    temperature: str | None = None
    time: str | None = None


def shop_paper(shop: Shop, clock: Clock, number: str, wanted: Wanted) -> bytes:
    """The PDF of it; the same record gives the same bytes.

    Raises BadInput where what was typed is no temperature or no time, or the job has no such step, and TravelerError
    where there is no such job or the fonts cannot draw a character.
    """
    state = load_job(shop, number)
    traveler = exported_object(state)
    paper = wanted.paper or usual_paper(shop, state.plan.units)
    if wanted.kind == "blank":
        known = [step["number"] for step in traveler["steps"]]
        for step in wanted.steps:
            if step not in known:
                raise BadInput(
                    f"--step {step}: job {echo(number)} has the steps {', '.join(map(str, known))}"
                )
        return blank_traveler(traveler, paper, wanted.steps)
    if wanted.kind == "tag":
        return hot_tag(traveler, paper, _temperature(wanted.temperature), _time(shop, clock, wanted.time))
    return part_label(traveler, paper)


def _temperature(typed: str | None) -> str | None:
    if typed is None:
        return None
    try:
        return show_both(parse_quantity(typed, Measured.TEMPERATURE))
    except QuantityError as error:
        raise BadInput(f"--temperature: {error}") from error


def _time(shop: Shop, clock: Clock, typed: str | None) -> str | None:
    """As in every entry: ISO 8601, in the shop's zone where it has no offset."""
    if typed is None:
        return None
    zone = register_of(shop).settings.get("zone")
    return stamp(written(in_zone(when(typed, clock.now(), zone), zone)))
