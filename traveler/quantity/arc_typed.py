"""Arc energy as people have it: as such, or as volts, amps and travel speed.

Arc energy is U I / v, without the efficiency of the process that would make it heat input: ASME IX
QW-409.1(a) computes it so; EN 1011-1 multiplies by the efficiency afterwards.
"""

import re
from fractions import Fraction

from traveler.quantity.parse import EXPECTED, LONGEST, QuantityError, echo, parse_quantity, plain, split
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import finite_decimal, rounded_down, show
from traveler.quantity.units import BY_SYMBOL, Kind, find

_MOST_DECIMALS = 12
_PARTS = (Kind.VOLTAGE, Kind.CURRENT, Kind.SPEED)
_EXPECTED = f"{EXPECTED[Kind.ARC_ENERGY]}, or volts, amps and travel such as 12 V 150 A 90 mm/min"
# Between two quantities: behind the letter that ends a unit, before the figure that begins a number. A comma
# between two figures is a decimal comma and stays, to be refused as one.
_BETWEEN = re.compile(r"(?<=[A-Za-z.])(?: *[,;x×*] *| +)(?=[-+.\u2212\d])", re.ASCII)


def parse_arc_energy(text: str) -> Quantity:
    """The arc energy in ``text``: "1.0 kJ/mm", or "12 V 150 A 90 mm/min" in any order, with
    a space, a comma, a semicolon or an x between.

    From three quantities the result is in kJ/mm, ``number`` exact, ``text`` as ``arc_energy`` says; keep what
    was typed as well. Raises QuantityError, also where anything is not greater than zero.
    """
    parts = _BETWEEN.split(plain(text)) if len(text) <= 3 * LONGEST else [text]
    if len(parts) == 1:
        energy = parse_quantity(text, Kind.ARC_ENERGY)
        if energy.number <= 0:
            raise QuantityError(f"{echo(text)}: arc energy must be greater than zero; expected {_EXPECTED}")
        return energy
    if len(parts) != len(_PARTS):
        raise QuantityError(f"{echo(text)}: {len(parts)} quantities were read; expected {_EXPECTED}")
    read = {kind: parse_quantity(part, kind) for part in parts for kind in [_kind_of(part, text)]}
    missing = [str(kind) for kind in _PARTS if kind not in read]
    if missing:
        raise QuantityError(f"{echo(text)}: {' and '.join(missing)} missing; expected {_EXPECTED}")
    return arc_energy(read[Kind.VOLTAGE], read[Kind.CURRENT], read[Kind.SPEED])


def arc_energy(volts: Quantity, amps: Quantity, travel: Quantity) -> Quantity:
    """U I / v in kJ/mm, exact in ``number``.

    ``text`` is exact too where twelve decimals hold it; otherwise it is cut to four, downward: less
    heat cools faster and asks for more preheat, so whoever reads the figure errs to that side. Against a
    maximum use the number, or keep the three quantities. Raises QuantityError unless all are above zero.
    """
    for quantity in (volts, amps, travel):
        if quantity.number <= 0:
            typed, kind = show(quantity), quantity.unit.kind
            raise QuantityError(f"{typed}: {kind} must be greater than zero; expected {_EXPECTED}")
    joules_per_mm = volts.canonical * amps.canonical / travel.canonical
    energy = joules_per_mm / 1000
    text = _text(energy)
    if len(text) > LONGEST:
        raise QuantityError(f"{text[:8]}...: far too much for an arc energy; expected {_EXPECTED}")
    return Quantity(text, energy, BY_SYMBOL["kJ/mm"])


def _text(energy: Fraction) -> str:
    return finite_decimal(energy, _MOST_DECIMALS) or rounded_down(energy, 4)


def _kind_of(part: str, text: str) -> Kind:
    _, name = split(part)
    kind = next((kind for kind in _PARTS if find(name, kind)), None)
    if kind is None:
        raise QuantityError(f"{echo(text)}: {echo(part)} is no volts, amps or travel; expected {_EXPECTED}")
    return kind
