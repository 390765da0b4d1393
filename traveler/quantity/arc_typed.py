"""Arc energy as people have it: as such, as volts, amps and travel speed, or as what a waveform power source shows.

Arc energy is U I / v, without the efficiency of the process that would make it heat input: ASME IX
QW-409.1(a) computes it so; EN 1011-1 multiplies by the efficiency afterwards. For a waveform-controlled power source
the product of average volts and amps is wrong; there the energy of the run over its length, or the power times the
arc time over the length, is taken (QW-409.1(c) [secondary]; ISO/TR 18491 [memory]).
"""

import re
from fractions import Fraction
from math import prod

from traveler.quantity.parse import EXPECTED, LONGEST, QuantityError, echo, parse_quantity, plain, split
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import finite_decimal, rounded_down, show
from traveler.quantity.units import BY_SYMBOL, Kind, find

_MOST_DECIMALS = 12
_FORMS = (
    (Kind.VOLTAGE, Kind.CURRENT, Kind.SPEED),
    (Kind.ENERGY, Kind.LENGTH),
    (Kind.POWER, Kind.TIME, Kind.LENGTH),
    (Kind.POWER, Kind.SPEED),
)
_PARTS = tuple(dict.fromkeys(kind for form in _FORMS for kind in form))
_EXPECTED = (
    f"{EXPECTED[Kind.ARC_ENERGY]}, or volts, amps and travel such as 12 V 150 A 90 mm/min, "
    "or energy and length such as 12 kJ 80 mm"
)
# Between two quantities: behind the letter that ends a unit, before the figure that begins a number. A comma
# between two figures is a decimal comma and stays, to be refused as one.
_BETWEEN = re.compile(r"(?<=[A-Za-z.])(?: *[,;x×*] *| +)(?=[-+.\u2212\d])", re.ASCII)


def parse_arc_energy(text: str) -> Quantity:
    """The arc energy in ``text``: "1.0 kJ/mm", "12 V 150 A 90 mm/min", or of a waveform power source "12 kJ 80 mm",
    "2.1 kW 6 s 12 mm" or "2.1 kW 90 mm/min"; in any order, with a space, a comma, a semicolon or an x between.

    From several quantities the result is in kJ/mm, ``number`` exact, ``text`` as ``arc_energy`` says; keep what
    was typed as well. Raises QuantityError, also where anything is not greater than zero.
    """
    parts = _BETWEEN.split(plain(text)) if len(text) <= 3 * LONGEST else [text]
    if len(parts) == 1:
        energy = parse_quantity(text, Kind.ARC_ENERGY)
        if energy.number <= 0:
            raise QuantityError(f"{echo(text)}: arc energy must be greater than zero; expected {_EXPECTED}")
        return energy
    read = {kind: parse_quantity(part, kind) for part in parts for kind in [_kind_of(part, text)]}
    form = next((form for form in _FORMS if set(form) == set(read)), None)
    if form is None or len(parts) != len(read):
        raise QuantityError(f"{echo(text)}: {_misfit(list(read), len(parts))}; expected {_EXPECTED}")
    return _kj_per_mm(*(read[kind] for kind in form))


def _misfit(read: list[Kind], count: int) -> str:
    """What is wrong with the quantities that were read: the nearest form lacks some, or they do not go together."""
    nearest = max(_FORMS, key=lambda form: len(set(form) & set(read)))
    missing = [str(kind) for kind in nearest if kind not in read]
    if missing and set(read) <= set(nearest):
        return f"{' and '.join(missing)} missing"
    return f"{count} quantities were read that make no arc energy"


def arc_energy(volts: Quantity, amps: Quantity, travel: Quantity) -> Quantity:
    """U I / v in kJ/mm, exact in ``number``.

    ``text`` is exact too where twelve decimals hold it; otherwise it is cut to four, downward: less
    heat cools faster and asks for more preheat, so whoever reads the figure errs to that side. Against a
    maximum use the number, or keep the three quantities. Raises QuantityError unless all are above zero.
    """
    return _kj_per_mm(volts, amps, travel)


def _kj_per_mm(*quantities: Quantity) -> Quantity:
    """The product of all but the last, which is a speed or a length, over the last."""
    for quantity in quantities:
        if quantity.number <= 0:
            typed, kind = show(quantity), quantity.unit.kind
            raise QuantityError(f"{typed}: {kind} must be greater than zero; expected {_EXPECTED}")
    *factors, over = quantities
    energy = prod((factor.canonical for factor in factors), start=Fraction(1)) / over.canonical
    if quantities[0].unit.kind is Kind.VOLTAGE:
        energy /= 1000  # volts times amps are watts; energies and powers are in kilojoules and kilowatts
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
        raise QuantityError(f"{echo(text)}: {echo(part)} is no part of an arc energy; expected {_EXPECTED}")
    return kind
