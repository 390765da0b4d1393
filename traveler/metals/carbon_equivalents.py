"""Carbon equivalents: how far the alloying elements of a steel harden it, counted as carbon.

Each index comes twice: as a bare number for other formulas (``cet``), and as an outcome with its validity and
its working (``index_cet``). The formulas are exact sums of the reported decimals, rounded once at the end.
An index outside its data base is still given, as ``extrapolated``, with every element that is out named.
"""

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache
from math import tanh

from traveler.metals.composition import Composition, check_composition, percent
from traveler.metals.outcome import Outcome, Source
from traveler.metals.validity import Range, sentences

CE_IIW_WEIGHTS = {
    "C": Fraction(1),
    "Mn": Fraction(1, 6),
    "Cr": Fraction(1, 5),
    "Mo": Fraction(1, 5),
    "V": Fraction(1, 5),
    "Ni": Fraction(1, 15),
    "Cu": Fraction(1, 15),
}
CET_WEIGHTS = {
    "C": Fraction(1),
    "Mn": Fraction(1, 10),
    "Mo": Fraction(1, 10),
    "Cr": Fraction(1, 20),
    "Cu": Fraction(1, 20),
    "Ni": Fraction(1, 40),
}
_PCM_WEIGHTS = {
    "C": Fraction(1),
    "Si": Fraction(1, 30),
    "Mn": Fraction(1, 20),
    "Cu": Fraction(1, 20),
    "Cr": Fraction(1, 20),
    "Ni": Fraction(1, 60),
    "Mo": Fraction(1, 15),
    "V": Fraction(1, 10),
    "B": Fraction(5),
}
_CEN_BRACKET = {
    "Si": Fraction(1, 24),
    "Mn": Fraction(1, 6),
    "Cu": Fraction(1, 15),
    "Ni": Fraction(1, 20),
    "Cr": Fraction(1, 5),
    "Mo": Fraction(1, 5),
    "Nb": Fraction(1, 5),
    "V": Fraction(1, 5),
    "B": Fraction(5),
}


def _box(**bounds: tuple[float | None, float]) -> tuple[Range, ...]:
    return tuple(Range(symbol, "%", low, high) for symbol, (low, high) in bounds.items())


CE_IIW_BOX = _box(
    C=(0.05, 0.25), Si=(None, 0.8), Mn=(None, 1.7), Cr=(None, 0.9), Cu=(None, 1.0), Ni=(None, 2.5),
    Mo=(None, 0.75), V=(None, 0.20),
)  # fmt: skip
CET_BOX = _box(
    C=(0.05, 0.32), Si=(None, 0.8), Mn=(0.5, 1.9), Cr=(None, 1.5), Cu=(None, 0.7), Ni=(None, 2.5),
    Mo=(None, 0.75), V=(None, 0.18), Nb=(None, 0.06), Ti=(None, 0.12), B=(None, 0.005),
)  # fmt: skip
PCM_BOX = _box(
    C=(0.07, 0.22), Si=(None, 0.60), Mn=(0.40, 1.40), Cr=(None, 1.20), Cu=(None, 0.50), Ni=(None, 1.20),
    Mo=(None, 0.70), V=(None, 0.12), Nb=(None, 0.04), Ti=(None, 0.05), B=(None, 0.005),
)  # fmt: skip
CEN_BOX = _box(C=(0.02, 0.26))


def ce_iiw(composition: Composition) -> float:
    """Carbon equivalent of the International Institute of Welding, also written CEV [mass %].

    CE = C + Mn/6 + (Cr + Mo + V)/5 + (Ni + Cu)/15, contents in [mass %].

    Validity: ``CE_IIW_BOX``, the steels of EN 1011-2 method A [memory]; that method further wants the
    index itself within 0.30 to 0.70 [memory], which is a limit of its preheat diagrams and not checked here.
    Source: IIW, as given in EN 1011-2:2001 C.2.1 [secondary].

    A worked example for API 5L grade B pipe prints 0.70 for these contents:

    >>> round(ce_iiw({"C": 0.25, "Mn": 1.40, "Cr": 0.50, "Mo": 0.25, "V": 0.05, "Ni": 0.50, "Cu": 0.40}), 2)
    0.7
    """
    check_composition(composition)
    return _ce_iiw(*(composition.get(symbol, 0) for symbol in CE_IIW_WEIGHTS))


def cet(composition: Composition) -> float:
    """Carbon equivalent CET of Uwer and Hoehne, the one that EN 1011-2 method B takes [mass %].

    CET = C + (Mn + Mo)/10 + (Cr + Cu)/20 + Ni/40, contents in [mass %].

    Validity: ``CET_BOX`` [secondary, two sources that agree].
    Source: EN 1011-2:2001 C.3.2.1 [secondary, two sources that agree]. A misprint (Cr + Cu)/10 is in
    circulation.

    A German course on steel fabrication prints 0.345 for this S355:

    >>> cet({"C": 0.18, "Mn": 1.40, "Mo": 0.05, "Cr": 0.20, "Cu": 0.15, "Ni": 0.10})
    0.345
    """
    check_composition(composition)
    return _cet(*(composition.get(symbol, 0) for symbol in CET_WEIGHTS))


def pcm(composition: Composition) -> float:
    """Cracking parameter Pcm of Ito and Bessyo, for low-carbon steels [mass %].

    Pcm = C + Si/30 + (Mn + Cu + Cr)/20 + Ni/60 + Mo/15 + V/10 + 5 B, contents in [mass %].

    Validity: ``PCM_BOX``, the data base of the authors [memory].
    Source: Ito and Bessyo 1968, IIW document IX-576-68 [secondary].

    By hand: 0.18 + 0.25/30 + 1.20/20 = 0.248333

    >>> round(pcm({"C": 0.18, "Si": 0.25, "Mn": 1.20}), 6)
    0.248333
    """
    check_composition(composition)
    return _pcm(*(composition.get(symbol, 0) for symbol in _PCM_WEIGHTS))


def accommodation_factor(carbon_percent: float) -> float:
    """Yurioka's factor A(C) on the alloying elements of CEN [1]: about 1/2 at low carbon, 1 above 0.2 %.

    A(C) = 0.75 + 0.25 tanh(20 (C - 0.12)), C in [mass %].

    Validity: that of CEN. Source: Yurioka 1983 [secondary]. CSA Z245.1-07 tabulates it, rounded [secondary].

    CSA Z245.1 prints 0.75 at 0.12 % carbon:

    >>> accommodation_factor(0.12)
    0.75
    """
    return 0.75 + 0.25 * tanh(20 * float(Fraction(str(carbon_percent)) - Fraction(3, 25)))


def cen(composition: Composition) -> float:
    """Carbon equivalent CEN of Yurioka, made to hold at low and at higher carbon [mass %].

    CEN = C + A(C) [Si/24 + Mn/6 + Cu/15 + Ni/20 + (Cr + Mo + Nb + V)/5 + 5 B], contents in [mass %],
    A(C) as in ``accommodation_factor``.

    Validity: carbon within ``CEN_BOX`` [memory]; no limits of the other elements were found.
    Source: Yurioka 1983 [secondary]; the terms agree with a worksheet for CSA Z662-1999 [seen].
    A misprint (Cu + Ni)/15 is in circulation.

    A worksheet for CSA Z245.1-07 prints 0.41 for this pipe:

    >>> pipe = {"C": 0.26, "Mn": 0.66, "Si": 0.15, "Cu": 0.25, "Ni": 0.06, "Cr": 0.05, "Mo": 0.002,
    ...         "V": 0.005, "Nb": 0.005, "B": 0.0005}
    >>> round(cen(pipe), 2)
    0.41
    """
    return _total(_cen_terms(composition))


def index_ce_iiw(composition: Composition) -> Outcome:
    """``ce_iiw`` with its validity; ``parts`` are the shares of the elements [mass %].

    >>> bar = index_ce_iiw({"C": 0.30, "Mn": 0.50, "Cr": 0.95, "Mo": 0.20})
    >>> bar.status, bar.reasons
    ('extrapolated', ('C 0.3 % is above 0.25 %', 'Cr 0.95 % is above 0.9 %'))
    """
    source = Source("IIW carbon equivalent, EN 1011-2", "secondary", clause="C.2.1", edition="2001")
    return _index("CE(IIW)", _terms(CE_IIW_WEIGHTS, composition), composition, CE_IIW_BOX, source)


def index_cet(composition: Composition) -> Outcome:
    """``cet`` with its validity; ``parts`` are the shares of the elements [mass %].

    >>> index_cet({"C": 0.33, "Mn": 0.50, "Cr": 0.95, "Mo": 0.20}).reasons
    ('C 0.33 % is above 0.32 %',)
    """
    source = Source("Uwer and Hoehne, EN 1011-2", "secondary", clause="C.3.2.1", edition="2001")
    return _index("CET", _terms(CET_WEIGHTS, composition), composition, CET_BOX, source)


def index_pcm(composition: Composition) -> Outcome:
    """``pcm`` with its validity; ``parts`` are the shares of the elements [mass %].

    >>> index_pcm({"C": 0.18, "Si": 0.25, "Mn": 1.20}).status
    'ok'
    """
    source = Source("Ito and Bessyo, IIW IX-576-68", "secondary", edition="1968")
    return _index("Pcm", _terms(_PCM_WEIGHTS, composition), composition, PCM_BOX, source)


def index_cen(composition: Composition) -> Outcome:
    """``cen`` with its validity; ``parts`` are the shares of the elements, factor A(C) included [mass %].

    >>> index_cen({"C": 0.18, "Si": 0.25, "Mn": 1.20}).status
    'ok'
    """
    source = Source("Yurioka carbon equivalent CEN", "secondary", edition="1983")
    return _index("CEN", _cen_terms(composition), composition, CEN_BOX, source)


def indices(composition: Composition) -> tuple[Outcome, ...]:
    """All four indices of one composition.

    >>> [index.method for index in indices({"C": 0.18, "Mn": 1.20})]
    ['CE(IIW)', 'CET', 'Pcm', 'CEN']
    """
    return (
        index_ce_iiw(composition),
        index_cet(composition),
        index_pcm(composition),
        index_cen(composition),
    )


# Every "what if" of every joint asks for the index of the same few metals: kept by the contents, of which it is a pure
# function.
@lru_cache(maxsize=1024)
def _ce_iiw(*contents: float) -> float:
    return _total(_terms(CE_IIW_WEIGHTS, dict(zip(CE_IIW_WEIGHTS, contents, strict=True))))


@lru_cache(maxsize=1024)
def _cet(*contents: float) -> float:
    return _total(_terms(CET_WEIGHTS, dict(zip(CET_WEIGHTS, contents, strict=True))))


@lru_cache(maxsize=1024)
def _pcm(*contents: float) -> float:
    return _total(_terms(_PCM_WEIGHTS, dict(zip(_PCM_WEIGHTS, contents, strict=True))))


def _terms(coefficients: Mapping[str, Fraction], composition: Composition) -> dict[str, Fraction]:
    check_composition(composition)
    return {symbol: factor * percent(composition, symbol) for symbol, factor in coefficients.items()}


def _cen_terms(composition: Composition) -> dict[str, Fraction]:
    bracket = _terms(_CEN_BRACKET, composition)
    carbon = percent(composition, "C")
    factor = Fraction(accommodation_factor(float(carbon)))
    return {"C": carbon} | {symbol: factor * term for symbol, term in bracket.items()}


def _total(terms: Mapping[str, Fraction]) -> float:
    return float(sum(terms.values()))


def _index(
    method: str,
    terms: Mapping[str, Fraction],
    composition: Composition,
    box: tuple[Range, ...],
    source: Source,
) -> Outcome:
    reasons = sentences(limit.outside(float(percent(composition, limit.name))) for limit in box)
    return Outcome(
        method=method,
        value=_total(terms),
        unit="%",
        status="extrapolated" if reasons else "ok",
        source=source,
        reasons=reasons,
        inputs={symbol: float(percent(composition, symbol)) for symbol in terms},
        parts={symbol: float(term) for symbol, term in terms.items() if term},
    )
