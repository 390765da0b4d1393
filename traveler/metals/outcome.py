"""What a published method answers: a value or none, how far it may be trusted, and why."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Status = Literal["ok", "extrapolated", "not applicable", "not tabulated"]
Mark = Literal["seen", "secondary", "memory", "common practice, no published source"]


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number comes from, and how well that was verified.

    ``mark``: ``seen`` (read in the source or a copy of it), ``secondary`` (read in a text that quotes it),
    ``memory`` (to be checked before anybody relies on it), or common practice without a published source.
    """

    title: str | None
    mark: Mark
    clause: str | None = None
    edition: str | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """Answer of one method for one set of inputs.

    ``value`` is in ``unit``; it is None where the method says nothing. ``reasons`` are sentences that say
    why ``status`` is not ``ok``, then what was assumed. ``inputs`` and ``parts`` (contributions that add up
    to the value) are the working.
    """

    method: str
    value: float | None
    unit: str
    status: Status
    source: Source
    reasons: tuple[str, ...] = ()
    inputs: Mapping[str, float] = field(default_factory=dict)
    parts: Mapping[str, float] = field(default_factory=dict)
