"""What an act decides inside its transaction: an event to append, or a refusal."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any


@dataclass(frozen=True, slots=True)
class Entry:
    """One event to append: its kind, the act itself and when it happened (None: now)."""

    kind: str
    act: Mapping[str, Any]
    happened_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Refusal:
    """The act is refused and nothing is written."""

    reasons: tuple[str, ...]
