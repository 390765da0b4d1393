"""Units beyond the exact table, from pint: yards, fathoms, degrees Rankine.

pint is loaded at the first such unit and not before. It is handed one unit name at a time, never a number
and never what somebody typed as a whole: its own parser reads "300 F" as 300 farad. No folder is used for a
cache, so there is none that can be missing, full or read-only.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from traveler.quantity.units import ABSOLUTE_ZERO_C, CANONICAL, Kind, Unit

if TYPE_CHECKING:
    from pint import UnitRegistry
    from pint.util import UnitsContainer

_NAME = re.compile(r"[A-Za-z_°µμ]{1,30}")
_NAMES = re.compile(rf"{_NAME.pattern}(/{_NAME.pattern})?")
_DIFFERENCE = "delta_"
_PINT_NAME = {"degC": "kelvin", "delta_degC": "kelvin", "delta_degC/h": "kelvin/hour"}


@dataclass(frozen=True, slots=True)
class _Measure:
    """Size of one unit and place of its zero, in pint's root units, and what it measures."""

    factor: Fraction
    zero: Fraction
    dimension: "UnitsContainer"


@cache
def _registry() -> "UnitRegistry[Fraction]":
    from pint import UnitRegistry

    return UnitRegistry(non_int_type=Fraction)


def _measure_name(name: str) -> _Measure | None:
    registry = _registry()
    if not registry.parse_unit_name(name):
        return None
    try:
        nought, one = (registry.Quantity(Fraction(number), name).to_root_units() for number in (0, 1))
    except TypeError:  # a logarithm, such as a decibel: there is no size that a fraction could hold
        return None
    return _Measure(one.magnitude - nought.magnitude, nought.magnitude, one.dimensionality)


def _measure(names: str) -> _Measure | None:
    if not _NAMES.fullmatch(names):
        return None
    parts = [_measure_name(name) for name in names.split("/")]
    top, bottom = parts[0], parts[-1]
    if top is None or bottom is None:
        return None
    if len(parts) == 1:
        return top
    return _Measure(top.factor / bottom.factor, Fraction(0), top.dimension / bottom.dimension)


def known(names: str) -> bool:
    """Whether there is such a unit at all, of whatever kind: "farad", "yard/hour"."""
    return _measure(names) is not None


def beyond_table(names: str, kind: Kind) -> Unit | None:
    """The unit of that kind which pint knows by this name, or None.

    ``names`` is one name or two with a slash between them, as pint spells them. The symbol of a difference is
    ``delta_`` and the name, so that what is stored tells it from a temperature.
    """
    # Energy per length has the dimension of a force; without the slash "25 kN" would be an arc energy.
    if kind is Kind.HARDNESS or (kind is Kind.ARC_ENERGY and "/" not in names):
        return None
    if kind is Kind.TEMPERATURE and names.startswith(_DIFFERENCE):
        return None
    if kind is Kind.SPAN:
        names = names.removeprefix(_DIFFERENCE)
    own, canonical = _measure(names), _measure(_PINT_NAME.get(CANONICAL[kind], CANONICAL[kind]))
    if own is None or canonical is None or own.dimension != canonical.dimension:
        return None
    factor = own.factor / canonical.factor
    offset = own.zero + ABSOLUTE_ZERO_C if kind is Kind.TEMPERATURE else Fraction(0)
    symbol = _DIFFERENCE + names if kind is Kind.SPAN else names
    return Unit(symbol, names, kind, factor, offset)


def by_symbol(symbol: str) -> Unit | None:
    """The unit stored under that symbol, if pint has it and it is of a kind used here."""
    if symbol.startswith(_DIFFERENCE) and "/" not in symbol:
        return beyond_table(symbol.removeprefix(_DIFFERENCE), Kind.SPAN)
    kinds = (kind for kind in Kind if kind is not Kind.SPAN)
    return next((unit for kind in kinds if (unit := beyond_table(symbol, kind))), None)
