"""How the shop does things: its name, zone, paper, decision rule, idle lock and backup reminder."""

import re
from collections.abc import Callable, Mapping
from datetime import datetime
from zoneinfo import ZoneInfo

from traveler.acts.clock import Clock
from traveler.acts.entry import Entry, Refusal
from traveler.acts.register import Entered, enter, register_of
from traveler.acts.signing import Meant, signing
from traveler.acts.typed import needed
from traveler.errors import BadInput
from traveler.job.decision_rule import DECISION_RULES
from traveler.job.person import Person
from traveler.job.register import SETTINGS, Register
from traveler.job.register_fold import SETTING_CHANGED
from traveler.job.register_gate import ChangeSetting, may_register
from traveler.quantity.parse import echo
from traveler.record.secrets import Secret
from traveler.record.shop import Shop, Writing

PAPERS = ("a4", "letter")
NEVER = "never"
LONGEST_NAME = 100
MOST_MINUTES, MOST_DAYS = 24 * 60, 366

_SPAN = re.compile(r"([1-9][0-9]{0,3}) *([a-z]+)")


def change_setting(
    shop: Shop, clock: Clock, person: Person, name: str, value: str, *, secret: Secret | None = None
) -> Entered:
    """Change one setting from now on; what was issued or printed before stays as it is. Raises BadInput."""
    wanted = " ".join(name.split()).casefold()
    if wanted not in SETTINGS:
        raise BadInput(f'"{echo(name)}" is no setting; expected one of: {", ".join(SETTINGS)}')
    typed = _READ[wanted](needed(value, wanted, "its value"))
    signer = signing(shop, clock, person, secret, Meant(f"set {wanted}"))
    if isinstance(signer, Refusal):
        return Entered(False, False, f"{wanted} is not changed", register_of(shop), signer.reasons)

    def decide(register: Register, now: datetime, writing: Writing) -> Entry | Refusal:
        allowed = may_register(ChangeSetting(), register, signer.person)
        if not allowed.granted:
            return Refusal(allowed.reasons)
        return Entry(SETTING_CHANGED, {"name": wanted, "value": typed, **signer.kept})

    register, refused = enter(shop, clock, signer.person, signer.decides(decide))
    if refused:
        return Entered(False, False, f"{wanted} is not changed", register, refused)
    return Entered(True, True, f"{wanted} is {typed} now", register)


def _shop_name(text: str) -> str:
    if len(text) > LONGEST_NAME:
        raise BadInput(f"shop name: {len(text)} characters are too many; expected at most {LONGEST_NAME}")
    return text


def _zone(text: str) -> str:
    try:
        return ZoneInfo(text).key
    except (KeyError, ValueError, OSError):
        raise BadInput(
            f'zone: "{echo(text)}" is no time zone of this machine; expected one such as Europe/Berlin'
        ) from None


def _one_of(what: str, offered: tuple[str, ...]) -> Callable[[str], str]:
    def read(text: str) -> str:
        folded = " ".join(text.split()).casefold()
        if folded not in offered:
            raise BadInput(f'{what}: "{echo(text)}" is none of: {", ".join(offered)}')
        return folded

    return read


def _span(what: str, units: Mapping[str, str], most: int) -> Callable[[str], str]:
    def read(text: str) -> str:
        folded = text.strip().casefold()
        found = _SPAN.fullmatch(folded)
        if folded == NEVER:
            return NEVER
        if found is None or found[2] not in units or int(found[1]) > most:
            unit = next(iter(units.values()))
            raise BadInput(f'{what}: "{echo(text)}" is none; expected 1 to {most} {unit}, or {NEVER}')
        return f"{found[1]} {units[found[2]]}"

    return read


_READ: Mapping[str, Callable[[str], str]] = {
    "shop name": _shop_name,
    "zone": _zone,
    "paper": _one_of("paper", PAPERS),
    "decision rule": _one_of("decision rule", DECISION_RULES),
    "idle lock": _span("idle lock", dict.fromkeys(("min", "minute", "minutes"), "min"), MOST_MINUTES),
    "backup reminder": _span("backup reminder", dict.fromkeys(("d", "day", "days"), "days"), MOST_DAYS),
}
