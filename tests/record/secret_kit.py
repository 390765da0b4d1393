"""Secrets on a shop's file, hashed at no cost worth the name; and the event that belongs to each."""

from datetime import UTC, datetime, timedelta

from cheap_secrets import CHEAP, make_cheap
from record_kit import BY, NOON

from traveler.record.secret_table import Accepted, Refused
from traveler.record.secrets import Kind, Secret, Verifier, hashed
from traveler.record.shop import Shop

START = datetime(2026, 3, 2, 12, tzinfo=UTC)
RIGHT, WRONG = "beam 40x40", "beam 40x50"  # invented
KINDS = {"signing": "secret set", "recovery": "recovery code issued"}


def after(seconds: float) -> datetime:
    return START + timedelta(seconds=seconds)


def put(shop: Shop, person: str, verifier: Verifier, kind: Kind = "signing") -> str:
    """Store it with the event of the shop's stream, as an act has to."""
    with shop.write() as writing:
        commitment = writing.put_secret(person, verifier, START, kind)
        act = {"person": person, "by_whom": "own", "commitment": commitment}
        writing.append("shop", KINDS[kind], BY, NOON, NOON, act)
    return commitment


def set_secret(shop: Shop, person: str = "P1", text: str = RIGHT, kind: Kind = "signing") -> str:
    return put(shop, person, hashed(Secret(text)), kind)


def check(
    shop: Shop, text: str, seconds: float = 0, person: str = "P1", kind: Kind = "signing"
) -> Accepted | Refused:
    return shop.check_secret(person, Secret(text), after(seconds), kind)


def reason(answer: Accepted | Refused) -> str:
    return answer.reason if isinstance(answer, Refused) else "accepted"


__all__ = ["CHEAP", "make_cheap"]
