"""A shop of the app's tests with registered people, their secrets hashed at no cost worth the name, and instruments.

All names are invented.
"""

from pathlib import Path
from typing import Any

from cheap_secrets import CHEAP
from shop_copies import copied
from textual.app import App
from textual.pilot import Pilot
from tui_kit import HEAD, TickingClock, press, screen_text, typed

from traveler.acts.instruments import NewInstrument, calibrated, found_out, register_instrument
from traveler.acts.issue import issue
from traveler.acts.people import NewPerson, register_person
from traveler.acts.settings import change_setting
from traveler.job.person import Person
from traveler.record import secrets
from traveler.record.secrets import Secret
from traveler.record.shop import Shop
from traveler.tui.session import Session
from traveler.tui.widgets.secret import SecretEntry

OLGA, WIM, INES, CARL, EVA = "Olga Vance", "Wim Two", "Ines Okafor", "Carl Kunde", "Eva Lindqvist"
SECRETS = {
    OLGA: "beam 40x40",
    WIM: "welder 4711",
    INES: "looks twice 9",
    CARL: "my own car 8",
    EVA: "knows metal 3",
}
ROLES = {OLGA: ["inspector"], WIM: ["welder"], INES: ["inspector"], CARL: ["customer"], EVA: ["engineer"]}
HELD = """
[[step]]
number = 40
kind = "preheat"
joint = "J1"
title = "Preheat the bracket joint"
hold = ["customer"]
witness = ["engineer"]
notice = "24 h"

[[step]]
number = 90
kind = "assemble"
title = "Bolt it on"
"""
JOB = "H-016"
SHEET = HEAD.format(number=f'"{JOB}"', title='"Upright bracket, held, invented"') + HELD
PLAIN_STEP = """
[[step]]
number = 10
kind = "other"
title = "Lay out the parts"
"""


def secret(name: str) -> Secret:
    """That of one of the people."""
    return Secret(SECRETS[name])


def found_shop(path: Path, *, with_secrets: bool = True, sheet: str = SHEET) -> Path:
    """A shop with the five people, two instruments (I1 good, I2 overdue) and one job."""

    def build_found(original: Path) -> None:
        _build(original, with_secrets, sheet)

    copied(path, build_found, with_secrets, sheet, secrets.USUAL)
    return path


def _build(path: Path, with_secrets: bool, sheet: str) -> None:
    clock = TickingClock()
    with Shop.create(path) as shop:
        for name, roles in ROLES.items():
            register_person(
                shop, clock, None if name == OLGA else Person(OLGA),
                NewPerson(name, roles, {"141": "2026-01-05"} if name == WIM else {}),
                new_secret=secret(name) if with_secrets else None,
                secret=secret(OLGA) if with_secrets and name != OLGA else None,
            )  # fmt: skip
        olga, given = Person(OLGA), secret(OLGA) if with_secrets else None
        for name, due in (("contact probe 1", "2027-01-05"), ("old probe", "2026-02-01")):
            probe = NewInstrument(name, "contact thermometer", "0 F", "750 F", "3 F")
            register_instrument(shop, clock, olga, probe, secret=given)
            calibrated(shop, clock, olga, name, "2026-01-05", due, "certificate 7", secret=given)
        issue(shop, clock, olga, sheet.encode(), secret=secret(OLGA) if with_secrets else None)


def probe_found_wrong(shop: Shop) -> None:
    """I1 is found out of tolerance: what it read is in question."""
    found_out(shop, TickingClock(), Person(OLGA), "I1", "reads 12 F high", secret=secret(OLGA))


def set_idle_lock(shop: Shop, value: str, *, with_secrets: bool = True) -> None:
    """How long the screen stays open without a key."""
    given = secret(OLGA) if with_secrets else None
    assert change_setting(shop, TickingClock(), Person(OLGA), "idle lock", value, secret=given).recorded


def preheated(session: Session, *values: str, instrument: str = "I1") -> None:
    """Readings of the preheat, at distinct places."""
    requirement = step(session, 40)["requirements"][0]
    for at, value in enumerate(values or ("330 F", "340 F")):
        entry = {"value": value, "place": f"plate {at}", "instrument": instrument}
        assert session.record(JOB, 40, requirement, entry).recorded


def everything(app: App[Any], session: Session) -> str:
    """All that a dump of the app would show: every widget with its values, the screen, the drafts."""
    widgets = [widget for screen in app.screen_stack for widget in screen.walk_children(with_self=True)]
    return "\n".join(
        [
            *(f"{widget!r} {vars(widget)!r}" for widget in widgets),
            app.export_screenshot(),
            screen_text(app),
            repr(session.drafts),
            repr(vars(session)),
            repr(vars(app)),
        ]
    )


def step(session: Session, number: int) -> dict[str, Any]:
    """A step of the job as it stands."""
    found: dict[str, Any] = next(s for s in session.job(JOB)["steps"] if s["number"] == number)
    return found


def acts_of(shop: Shop, stream: str, kind: str) -> list[dict[str, Any]]:
    """Every event of one kind."""
    return [event.data for event in shop.events(stream) if event.data["kind"] == kind]


async def type_secret(pilot: Pilot[Any], text: str) -> None:
    """Type into the field of the secret, key by key."""
    assert isinstance(pilot.app.screen.focused, SecretEntry)
    names = {" ": "space"}
    await pilot.press(*(names.get(letter, letter) for letter in text))


async def commit(pilot: Pilot[Any]) -> None:
    """F10, and wait for the secret to be checked."""
    await press(pilot, "f10")
    await checked(pilot.app)
    await pilot.pause()


async def checked(app: App[Any]) -> None:
    """Wait for the secret to be checked."""
    await app.workers.wait_for_complete()


async def to_name(pilot: Pilot[Any]) -> None:
    """Up to the field with the name."""
    form = pilot.app.screen
    while form.focused is not form.query_one("#field-name Input"):
        await press(pilot, "shift+tab")


async def sign_as(pilot: Pilot[Any], name: str, given: str | None = None) -> None:
    """Who signs, with their secret or another one."""
    await to_name(pilot)
    await press(pilot, "ctrl+u", *typed(name), "tab")
    while not isinstance(pilot.app.screen.focused, SecretEntry):
        await press(pilot, "tab")
    await type_secret(pilot, SECRETS[name] if given is None else given)
    await commit(pilot)


__all__ = ["CHEAP"]
