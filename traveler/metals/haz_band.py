"""How hard the zone beside a weld run may get: a band of two methods, with the scatter of such methods beside it.

No single formula is known to be the best one, so there is no single figure. Maynier, with the parameter of
the coarse-grained zone, gave the middle of measured 4130H hardenability; Yurioka 1987 lies along its upper edge.
"""

from dataclasses import dataclass
from typing import Literal

from traveler.metals.composition import Composition
from traveler.metals.haz_hardness import bl70s_hardness, dueren_hardness, yurioka_ends, yurioka_hardness
from traveler.metals.maynier import maynier_hardness
from traveler.metals.outcome import Outcome, Source, Status

Cooling = Literal["continuous", "isothermal"]

SCATTER_SOURCE = Source(
    "Nicholas and Abson, TWI, prediction of maximum HAZ hardness in C-Mn and low alloy steel arc welds",
    "seen",
    edition="2008",
)
SCATTER_HV = 56.0
"""Twice the standard deviation of 28 HV that the best of their twelve methods left against more than 300 measured
welds. That one is a mixture of Dueren and Yurioka 1981; the two methods of this band were not measured so."""

_ISOTHERMAL = (
    "the formulas assume cooling without a stop, and this metal is held on the way down: the time of the "
    "bainite reaction counts instead"
)


@dataclass(frozen=True, slots=True)
class HardnessBand:
    """Hardness beside a weld run, from ``low_hv`` to ``high_hv`` [HV]; both None where nothing can be said.

    ``members`` are the two methods of the band, ``cross_checks`` those beside it. ``reasons`` say why ``status``
    is not ``ok``, then what was assumed. ``scatter_hv`` [HV] goes on both sides and is not in the band.
    """

    low_hv: float | None
    high_hv: float | None
    status: Status
    reasons: tuple[str, ...]
    members: tuple[Outcome, ...] = ()
    cross_checks: tuple[Outcome, ...] = ()
    scatter_hv: float = SCATTER_HV
    scatter_source: Source = SCATTER_SOURCE


def haz_band(composition: Composition, t85_s: float, cooling: Cooling = "continuous") -> HardnessBand:
    """Band of the hardness beside one weld run, from Maynier to Yurioka 1987 [HV].

    Maynier with 1300 degC for 2 s as austenitizing; Yurioka's value not above his martensite and not below his
    bainite, past which his curve runs at very short and very long times.

    Inputs: ``composition`` [mass %]; ``t85_s`` cooling time from 800 to 500 degC [s]; ``cooling``: "isothermal" where
    the metal is held above or in the range of martensite until something else has formed: ``not applicable``.
    Validity: where both methods apply; ``extrapolated`` where one of them is. Where one of them does not
    apply there is no band. Raises ValueError where ``t85_s`` is not greater than zero or carbon is missing.
    Source: the two methods; scatter: Nicholas and Abson, TWI 2008 [seen, synopsis].

    4130 at 10 s:

    >>> band = haz_band({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}, 10)
    >>> round(band.low_hv), round(band.high_hv), band.scatter_hv, band.status
    (445, 481, 56.0, 'ok')
    """
    maynier, yurioka = maynier_hardness(composition, t85_s), yurioka_hardness(composition, t85_s)
    if cooling == "isothermal":
        return HardnessBand(None, None, "not applicable", (_ISOTHERMAL,))
    cross_checks = (dueren_hardness(composition, t85_s), bl70s_hardness(composition, t85_s))
    reasons = tuple(
        f"{member.method}: {reason}" for member in (maynier, yurioka) for reason in member.reasons
    )
    if maynier.value is None or yurioka.value is None:
        return HardnessBand(None, None, "not applicable", reasons, (maynier, yurioka), cross_checks)
    ends = yurioka_ends(composition)
    kept = max(ends.bainite_hv, min(ends.martensite_hv, yurioka.value))
    if kept != yurioka.value:
        end = "martensite" if kept == ends.martensite_hv else "bainite"
        reasons += (f"{yurioka.method}: kept at the hardness of {end}, {kept:.0f} HV",)
    extrapolated = "extrapolated" in (maynier.status, yurioka.status)
    return HardnessBand(
        low_hv=min(maynier.value, kept),
        high_hv=max(maynier.value, kept),
        status="extrapolated" if extrapolated else "ok",
        reasons=reasons,
        members=(maynier, yurioka),
        cross_checks=cross_checks,
    )
