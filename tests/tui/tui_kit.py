"""Invented jobs, a clock that ticks by itself, and a look at what the app draws."""

from datetime import UTC, datetime, timedelta
from typing import Any

from sheet_parts import ROD_AND_TEE
from textual.app import App
from textual.pilot import Pilot
from textual.widgets import Input

from traveler.acts.issue import issue
from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.app import TravelerApp
from traveler.tui.entered import Told
from traveler.tui.looks import CALM, PLAIN
from traveler.tui.session import Session
from traveler.tui.signed_act import SignedAct, perform_step
from traveler.tui.signed_act import accept_step as accept_step_act

HEAD = (
    """
[job]
number = {number}
title = {title}
units = "inch"
decides = "welding engineer"

[[material]]
id = "plate"
grade = "4130"
condition = "annealed"
heat_number = "A7731"
certificate = "3.1"

[[material]]
id = "rail"
grade = "S355J2"
condition = "as rolled"

"""
    + ROD_AND_TEE
    + """\
restraint = "high"
member = [ {{ material = "plate", form = "plate", thickness = "1/4 in" }},
           {{ material = "rail", form = "tube", thickness = "0.120 in" }} ]
"""
)
THREE_STEPS = """
[[step]]
number = 10
kind = "other"
title = "Lay out the parts"

[[step]]
number = 40
kind = "preheat"
joint = "J1"
title = "Preheat the bracket joint"

[[step]]
number = 90
kind = "assemble"
title = "Bolt it on"
"""
BRACKET = HEAD.format(number='"H-014"', title='"Upright bracket, invented"') + THREE_STEPS
ROUTE = HEAD.format(number='"H-015"', title='"Upright bracket, usual route, invented"')
PLAIN_STEEL = """
[job]
number = "P-1"
title = "Gate hinge, invented"
units = "metric"
decides = "welding engineer"

[[material]]
id = "flat"
grade = "S235JR"
condition = "as rolled"

[[filler]]
id = "wire"
classification = "ER70S-6"
hydrogen = "H5"

[[joint]]
id = "J1"
type = "butt"
process = "135"
filler = "wire"
arc_energy = "0.8 kJ/mm"
restraint = "low"
member = [ { material = "flat", form = "plate", thickness = "5 mm" },
           { material = "flat", form = "plate", thickness = "5 mm" } ]
"""


BARS = dict.fromkeys(map(ord, "▁▂▃▄▅▆▇█"), " ")


class TickingClock:
    """Begins on an invented day and moves on by a second each time it is asked."""

    def __init__(self) -> None:
        self._now = datetime(2026, 3, 14, 8, 0, tzinfo=UTC)

    def now(self) -> datetime:
        """The next second."""
        self._now += timedelta(seconds=1)
        return self._now


def put(shop: Shop, sheet: str) -> None:
    """Issue a job from its sheet."""
    issue(shop, TickingClock(), Person("Otto Plan"), sheet.encode())


def app_on(session: Session, start_job: str | None = None, *, plain: bool = False) -> TravelerApp:
    """The app on a session."""
    return TravelerApp(session, start_job, PLAIN if plain else CALM)


def screen_text(app: App[Any]) -> str:
    """What stands on the screen, as text. The only place here that needs a private name of Textual."""
    strips = app.screen._compositor.render_strips(app.size)
    return "\n".join("".join(segment.text for segment in strip).rstrip() for strip in strips)


class Typed(str):
    """Text for the field in focus, not the name of a key."""


def typed(text: str) -> list[Typed]:
    """``text`` for ``press``, put into the field in focus at once."""
    return [Typed(text)]


async def press(pilot: Pilot[Any], *keys: str) -> None:
    """Press keys one by one, as Pilot does; whole texts go into the field in focus, which is much faster."""
    for key in keys:
        if isinstance(key, Typed):
            field = pilot.app.screen.focused
            assert isinstance(field, Input), f"no field to type {key} into"
            field.insert_text_at_cursor(key)
            await pilot.pause()
        else:
            await pilot.press(key)


def one_line(text: str) -> str:
    """A wrapped text as one line and without scroll bars, to look for a sentence in it."""
    return " ".join(text.translate(BARS).split())


def comply(session: Session, number: str, step_number: int) -> None:
    """Record for every requirement of a step what complies."""
    step = next(step for step in session.job(number)["steps"] if step["number"] == step_number)
    # A run of weld is recorded by its arc energy, so the temperature before it comes first.
    for requirement in sorted(step["requirements"], key=lambda r: r["quantity"] == "arc energy"):
        for place in range(requirement["evidence"]["readings"]):
            told = session.record(
                number, step_number, requirement, {"value": complying(requirement), "place": f"place {place}"}
            )
            assert told.complies, told


def complying(requirement: dict[str, Any]) -> str:
    """A value right at the limit, an admitted choice or an expected text."""
    if requirement["type"] != "number":
        return str(([*requirement["accepts"], *requirement["options"], "as agreed"])[0])
    limit = requirement["limit"]["at_least"] or requirement["limit"]["at_most"]
    return f"{limit['value']} {limit['unit']}" if limit else f"1 {requirement['unit']}"


def accept_step(session: Session, number: str, step_number: int) -> None:
    """Comply, sign as performed, and accept by somebody else."""
    comply(session, number, step_number)
    assert sign(session, number, step_number, perform_step(step_number, "other"), "Ida Weld").recorded
    told = sign(session, number, step_number, accept_step_act(step_number), "Otto Plan")
    assert told.complies, told


def sign(session: Session, number: str, step_number: int, act: SignedAct, name: str) -> Told:
    """Sign an act on a step as it stands, where no secret is needed."""
    step = next(step for step in session.job(number)["steps"] if step["number"] == step_number)
    return session.sign(number, act, session.signer(name), {}, step["content"])
