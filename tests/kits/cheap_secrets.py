"""Secrets hashed at no cost worth the name, for tests that are not about that cost."""

from traveler.record import secrets
from traveler.record.secrets import Scheme

CHEAP = Scheme(log2_n=4, r=8, p=1)


def make_cheap() -> None:
    """For a child process; tests use monkeypatch."""
    secrets.USUAL = CHEAP
