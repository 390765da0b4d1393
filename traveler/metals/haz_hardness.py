"""Hardness of the coarse-grained zone beside one weld run by three formulas from the cooling time t8/5.

All three assume that the metal cools through without a stop. They answer for the hardest zone of a single
run; a later run tempers it.
"""

from dataclasses import dataclass
from math import atan, exp, log, log10, sqrt, tanh

from traveler.metals.carbon_equivalents import pcm
from traveler.metals.composition import Composition, contents, contents_outside, require_carbon
from traveler.metals.maynier import LOW_ALLOY
from traveler.metals.outcome import Outcome, Source, Status
from traveler.metals.validity import Range, require_positive, sentences

YURIOKA_SOURCE = Source("Yurioka et al., Metal Construction 19, 217R", "memory", edition="1987")
DUEREN_SOURCE = Source("Lorenz and Dueren, HAZ hardness of pipeline steels", "memory")
BL70S_SOURCE = Source("Suzuki, BL70S formula for HAZ maximum hardness", "memory", edition="1984")

YURIOKA_BOX = (
    Range("C", "%", high=0.8),
    Range("Si", "%", high=1.2),
    Range("Mn", "%", high=2.0),
    Range("Cu", "%", high=0.9),
    Range("Ni", "%", high=10.0),
    Range("Cr", "%", high=10.0),
    Range("Mo", "%", high=2.0),
)  # [memory; secondary for C]
DUEREN_BOX = (
    Range("C", "%", high=0.22),
    Range("Cr", "%", high=0.30),
    Range("Mo", "%", high=0.08),
    Range("Ni", "%", high=0.30),
)  # [memory]; from Cr on the limits of an unalloyed steel by EN 10020
BL70S_BOX = (Range("C", "%", 0.017, 0.33),)  # [seen, in the abstract]
_BORON = Range("B", "%", high=0.0001)  # from here on it hardens [memory]; none of the three forms here has it
_ELEMENTS = ("C", "Si", "Mn", "Cu", "Ni", "Cr", "Mo", "V", "Nb")


@dataclass(frozen=True, slots=True)
class YuriokaEnds:
    """Between which ends Yurioka's curve runs: hardness [HV] and cooling time t8/5 [s] of each.

    Up to ``martensite_s`` the zone is all martensite, from ``bainite_s`` on none of it.
    """

    martensite_hv: float
    bainite_hv: float
    martensite_s: float
    bainite_s: float


def yurioka_ends(composition: Composition) -> YuriokaEnds:
    """The ends of Yurioka's curve, contents in [mass %]::

        Cp     C up to 0.30 %, beyond C/6 + 0.25
        CE I   Cp + Si/24 + Mn/6 + Cu/15 + Ni/12 + Cr (1 - 0.16 sqrt(Cr))/8 + Mo/4
        CE II  C + Si/24 + Mn/5 + Cu/10 + Ni/18 + Cr/5 + Mo/2.5 + V/5 + Nb/3
        CE III Cp + Mn/3.6 + Cu/20 + Ni/9 + Cr/5 + Mo/4
        martensite  884 C (1 - 0.3 C^2) + 294        until exp(10.6 CE I - 4.8)
        bainite     145 + 130 tanh(2.65 CE II - 0.69) from exp(6.2 CE III + 0.74)

    Validity, errors, source: those of ``yurioka_hardness``.

    >>> ends = yurioka_ends({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20})
    >>> round(ends.martensite_hv), round(ends.bainite_hv), round(ends.martensite_s, 2), round(ends.bainite_s)
    (552, 250, 2.63, 141)
    """
    require_carbon(composition)
    c, si, mn, cu, ni, cr, mo, v, nb = contents(composition, _ELEMENTS).values()
    cp = c if c <= 0.30 else c / 6 + 0.25
    ce_1 = cp + si / 24 + mn / 6 + cu / 15 + ni / 12 + cr * (1 - 0.16 * sqrt(cr)) / 8 + mo / 4
    ce_2 = c + si / 24 + mn / 5 + cu / 10 + ni / 18 + cr / 5 + mo / 2.5 + v / 5 + nb / 3
    ce_3 = cp + mn / 3.6 + cu / 20 + ni / 9 + cr / 5 + mo / 4
    return YuriokaEnds(
        martensite_hv=884 * c * (1 - 0.3 * c**2) + 294,
        bainite_hv=145 + 130 * tanh(2.65 * ce_2 - 0.69),
        martensite_s=exp(10.6 * ce_1 - 4.8),
        bainite_s=exp(6.2 * ce_3 + 0.74),
    )


def yurioka_hardness(composition: Composition, t85_s: float) -> Outcome:
    """Greatest hardness beside a weld run by Yurioka 1987 [HV].

    HV = (HM + HB)/2 - (HM - HB)/2.2 arctan x, x = 4 ln(t/tM)/ln(tB/tM) - 2, the ends as in ``yurioka_ends``.

    Inputs: ``composition`` [mass %]; ``t85_s`` t, cooling time from 800 to 500 degC [s].
    Validity: ``YURIOKA_BOX`` [memory], outside ``not applicable``. A cooling time beyond an end is
    ``extrapolated``: there the arctangent runs past that end's hardness; boron likewise, its term is left out.
    ``parts``: the mean of the ends, and what the cooling time adds to it.
    Raises ValueError where ``t85_s`` is not greater than zero or carbon is missing.
    Source: Yurioka et al. 1987, coefficients [memory]: to be confirmed in the paper. For 4130 they agree with
    Lorenz-Dueren and BL70S: each within 27 HV of the mean of the three from 3 to 25 s.

    >>> round(yurioka_hardness({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}, 10).value)
    481
    """
    require_positive("t85_s", t85_s)
    ends = yurioka_ends(composition)
    refusals = contents_outside(composition, YURIOKA_BOX)
    if refusals:
        return _refused("Yurioka 1987", YURIOKA_SOURCE, refusals, composition, t85_s)
    x = 4 * log(t85_s / ends.martensite_s) / log(ends.bainite_s / ends.martensite_s) - 2
    span = Range("cooling time", "s", ends.martensite_s, ends.bainite_s)
    cautions = (*sentences([span.outside(t85_s)]), *contents_outside(composition, (_BORON,)))
    parts = {
        "mean of martensite and bainite": (ends.martensite_hv + ends.bainite_hv) / 2,
        "cooling time": -(ends.martensite_hv - ends.bainite_hv) / 2.2 * atan(x),
    }
    return _answer("Yurioka 1987", parts, YURIOKA_SOURCE, cautions, composition, t85_s)


def dueren_hardness(composition: Composition, t85_s: float) -> Outcome:
    """Greatest hardness beside a weld run by Lorenz and Dueren, a cross-check [HV], contents in [mass %].

    HV = 2019 [C (1 - 0.5 log10 t) + 0.3 (CE - C)] + 66 (1 - 0.8 log10 t), not above the martensite of
    802 C + 305 and not below the bainite of 350 CE + 101; CE = C + Si/11 + Mn/8 + Cu/9 + Cr/5 + Ni/17 + Mo/6 + V/3.

    Inputs and errors: as ``yurioka_hardness``. Validity: made for carbon-manganese pipe; ``DUEREN_BOX`` [memory],
    outside ``extrapolated``, as 4130 is by its carbon and chromium; ``LOW_ALLOY``, outside ``not applicable``.
    Source: Lorenz and Dueren [memory].

    >>> round(dueren_hardness({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}, 10).value)
    503
    """
    require_positive("t85_s", t85_s)
    require_carbon(composition)
    refusals = contents_outside(composition, (LOW_ALLOY,))
    if refusals:
        return _refused("Lorenz-Dueren", DUEREN_SOURCE, refusals, composition, t85_s)
    c, si, mn, cu, ni, cr, mo, v, _ = contents(composition, _ELEMENTS).values()
    ce = c + si / 11 + mn / 8 + cu / 9 + cr / 5 + ni / 17 + mo / 6 + v / 3
    martensite_hv, bainite_hv = 802 * c + 305, 350 * ce + 101
    decades = log10(t85_s)
    between = 2019 * (c * (1 - 0.5 * decades) + 0.3 * (ce - c)) + 66 * (1 - 0.8 * decades)
    value = max(bainite_hv, min(martensite_hv, between))
    cautions = contents_outside(composition, (*DUEREN_BOX, _BORON))
    return _answer("Lorenz-Dueren", {"curve": value}, DUEREN_SOURCE, cautions, composition, t85_s)


def bl70s_hardness(composition: Composition, t85_s: float) -> Outcome:
    """Greatest hardness beside a weld run by BL70S, a cross-check [HV], contents in [mass %]::

        HV   = H + K/(1 + exp(a (log10 t - Y)))
        K    = 237 + 1633 C - 1157 Pcm       H = 884 C + 287 - K
        a K  = 566 + 5532 C - 2880 Pcm       Y = -0.03 - 6.00 C + 7.77 Pcm

    Inputs and errors: as ``yurioka_hardness``. Validity: 70 steels with C from 0.017 to 0.33 % [seen], outside
    ``extrapolated``; ``LOW_ALLOY``, outside ``not applicable``; the same where K or a is not positive: the curve
    would rise with the cooling time.
    Source: Suzuki 1984, the abstract of the paper [seen], the coefficients [memory].

    >>> round(bl70s_hardness({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}, 10).value)
    476
    """
    require_positive("t85_s", t85_s)
    require_carbon(composition)
    c, index = contents(composition, ["C"])["C"], pcm(composition)
    k, steepness_k = 237 + 1633 * c - 1157 * index, 566 + 5532 * c - 2880 * index
    refusals = contents_outside(composition, (LOW_ALLOY,))
    if not refusals and (k <= 0 or steepness_k <= 0):
        refusals = (f"with C {c:g} % and Pcm {index:.3g} % its curve does not fall with the cooling time",)
    if refusals:
        return _refused("BL70S", BL70S_SOURCE, refusals, composition, t85_s)
    middle = -0.03 - 6.00 * c + 7.77 * index
    parts = {
        "slowest cooling": 884 * c + 287 - k,
        "cooling time": k / (1 + exp(steepness_k / k * (log10(t85_s) - middle))),
    }
    # Pcm counts boron, so this one needs no word about it
    cautions = contents_outside(composition, BL70S_BOX)
    return _answer("BL70S", parts, BL70S_SOURCE, cautions, composition, t85_s)


def _answer(
    method: str,
    parts: dict[str, float],
    source: Source,
    cautions: tuple[str, ...],
    composition: Composition,
    t85_s: float,
) -> Outcome:
    status: Status = "extrapolated" if cautions else "ok"
    inputs = {**contents(composition, _ELEMENTS), "t85_s": t85_s}
    return Outcome(method, sum(parts.values()), "HV", status, source, cautions, inputs, parts)


def _refused(
    method: str, source: Source, refusals: tuple[str, ...], composition: Composition, t85_s: float
) -> Outcome:
    inputs = {**contents(composition, _ELEMENTS), "t85_s": t85_s}
    return Outcome(method, None, "HV", "not applicable", source, refusals, inputs)
