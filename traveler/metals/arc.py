"""Arc energy and heat input: two quantities, two names, never one for the other.

Arc energy is what leaves the power source per length of weld; ASME IX QW-409.1 and AWS D1.1 limit that
one and call it heat input. Heat input here is what EN 1011 means: arc energy times the thermal efficiency
of the process. Fractions in, fractions out, so a limit on either can be compared exactly.
"""

from fractions import Fraction
from functools import lru_cache


def arc_energy_kj_mm(volts: Fraction, amps: Fraction, travel_mm_s: Fraction) -> Fraction:
    """Arc energy E [kJ/mm].

    E = U I / (1000 v), with arc voltage U [V], welding current I [A], travel speed v [mm/s].

    Validity: steady arcs. For pulsed or otherwise controlled waveforms the product of two mean values is
    wrong; take the energy that the power source reports and divide it by the length.
    Raises ValueError where an input is not greater than zero.
    Source: EN 1011-1 and ISO/TR 18491 [secondary]; without efficiency, as in ASME IX QW-409.1(a) [secondary].

    A course on arc welding works out 2.4 kJ/mm for 20 V, 300 A, 2.5 mm/s:

    >>> arc_energy_kj_mm(Fraction(20), Fraction(300), Fraction("2.5")) == Fraction("2.4")
    True
    """
    for name, value in (("volts", volts), ("amps", amps), ("travel_mm_s", travel_mm_s)):
        if value <= 0:
            raise ValueError(f"{name} must be greater than zero, not {value}")
    return volts * amps / (1000 * travel_mm_s)


@lru_cache(maxsize=256)  # each method of each "what if" of a joint asks for it
def heat_input_kj_mm(arc_energy_kj_mm: Fraction, efficiency: Fraction) -> Fraction:
    """Heat input Q [kJ/mm].

    Q = k E, with arc energy E [kJ/mm] and the thermal efficiency k of the process [1].

    Validity: k above 0 and up to 1, relative to submerged arc (k = 1).
    Raises ValueError for an efficiency outside that, or an arc energy that is not greater than zero.
    Source: EN 1011-1 [secondary]; TWI's answer on arc energy and heat input gives the factors [seen].

    MAG at 1.000 kJ/mm with k = 0.8 is 0.800 kJ/mm:

    >>> heat_input_kj_mm(Fraction(1), Fraction("0.8"))
    Fraction(4, 5)
    """
    if arc_energy_kj_mm <= 0:
        raise ValueError(f"arc_energy_kj_mm must be greater than zero, not {arc_energy_kj_mm}")
    if not 0 < efficiency <= 1:
        raise ValueError(f"efficiency must be above 0 and not above 1, not {efficiency}")
    return efficiency * arc_energy_kj_mm
