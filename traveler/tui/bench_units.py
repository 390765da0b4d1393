"""Numbers typed without a unit at the bench: the unit is the job's. No widgets here."""

from collections.abc import Mapping
from typing import Any

from traveler.quantity.parse import unit
from traveler.quantity.units import Kind

Json = Mapping[str, Any]

_OF_JOB = {
    Kind.TEMPERATURE: ("F", "C"),
    Kind.SPAN: ("F", "C"),
    Kind.RATE: ("F/h", "C/h"),
    Kind.LENGTH: ("in", "mm"),
    Kind.ARC_ENERGY: ("kJ/in", "kJ/mm"),
}
_ARC = (("V", "A", "in/min"), ("V", "A", "mm/min"))
_DIGITS = frozenset("0123456789.+-−/, ")


def unit_taken(requirement: Json, units: str) -> str:
    """The unit that a bare number gets: the job's ("inch" or "metric"), for a time or a hardness that of the limit."""
    if requirement["type"] != "number":
        return ""
    of_job = _OF_JOB.get(unit(requirement["unit"]).kind)
    if of_job is not None:
        return of_job[0 if units == "inch" else 1]
    limit = requirement["limit"]["at_least"] or requirement["limit"]["at_most"]
    return str(limit["unit"] if limit else requirement["unit"])


def with_unit(requirement: Json, units: str, typed: str) -> str:
    """What was typed with the unit behind it, where it is digits only; of an arc energy three bare numbers are volts,
    amps and travel. Anything else stays as it was typed, for the act to read or refuse.
    """
    taken = unit_taken(requirement, units)
    if not taken or not typed or not _DIGITS.issuperset(typed):
        return typed
    if unit(requirement["unit"]).kind is Kind.ARC_ENERGY and len(parts := typed.split()) == 3:
        names = _ARC[0 if units == "inch" else 1]
        return " ".join(f"{number} {name}" for number, name in zip(parts, names, strict=True))
    return f"{typed} {taken}"
