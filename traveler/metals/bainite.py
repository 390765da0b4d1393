"""How long austenite takes to become bainite where the metal is held at one temperature."""

from functools import lru_cache
from math import exp, isfinite

from traveler.metals.composition import Composition, contents, contents_outside, require_carbon
from traveler.metals.martensite_start import kung_rayment_ms
from traveler.metals.maynier import LOW_ALLOY
from traveler.metals.outcome import Outcome, Source, Status

LI_SOURCE = Source("Li et al., Metall. Mater. Trans. B 29, 661-672, eqs 22-24", "seen", edition="1998")
COARSE_GRAIN_ASTM = 3.0
FINE_GRAIN_ASTM = 8.0

_ACTIVATION_CAL_MOL = 27_500.0
_GAS_CONSTANT_CAL_MOL_K = 1.987
_ELEMENTS = ("C", "Mn", "Ni", "Cr", "Mo")


def bainite_start(composition: Composition) -> Outcome:
    """Temperature below which bainite forms, by Li and others [degC].

    Bs = 637 - 58 C - 35 Mn - 15 Ni - 34 Cr - 41 Mo, contents in [mass %].

    Validity: low-alloy steel, ``LOW_ALLOY``; outside ``not applicable``. ``parts``: 637 as "base", and the share of
    each element. Raises ValueError for a composition without carbon. Source: Li et al. 1998 [seen].

    4130 by hand: 637 - 17.4 - 17.5 - 32.3 - 8.2 = 561.6

    >>> round(bainite_start({"C": 0.30, "Mn": 0.50, "Cr": 0.95, "Mo": 0.20}).value, 1)
    561.6
    """
    require_carbon(composition)
    factors = dict(zip(_ELEMENTS, (-58, -35, -15, -34, -41), strict=True))
    amounts = contents(composition, _ELEMENTS)
    shares = {symbol: factors[symbol] * amount for symbol, amount in amounts.items() if amount}
    parts = {"base": 637.0} | shares
    refusals = contents_outside(composition, (LOW_ALLOY,))
    return Outcome(
        method="Li Bs",
        value=None if refusals else sum(parts.values()),
        unit="degC",
        status="not applicable" if refusals else "ok",
        source=LI_SOURCE,
        reasons=refusals,
        inputs=amounts,
        parts={} if refusals else parts,
    )


def bainite_time(
    composition: Composition, hold_c: float, grain_astm: float, fraction: float = 0.99
) -> Outcome:
    """Time at one temperature until a share of the austenite is bainite, by Li and others [s].

    t = exp(-10.23 + 10.18 C + 0.85 Mn + 0.55 Ni + 0.90 Cr + 0.36 Mo) S(X)
    / [2^(0.29 G) (Bs - T)^2 exp(-27500/(R T))], with S(X) the integral from 0 to X of
    dX / (X^(0.4 (1 - X)) (1 - X)^(0.4 X)), R = 1.987 cal/(mol K), T in [K] in the exponent.

    Inputs: ``composition`` [mass %]; ``hold_c`` T [degC]; ``grain_astm`` G, ASTM E112 number of the austenite grain;
    ``fraction`` X [1], above 0 and below 1.
    Validity: low-alloy steel and no ferrite or pearlite before; at Bs and above ``not applicable``; below Ms
    (Kung-Rayment) ``extrapolated``: part of the austenite has become martensite at once, and the time is
    one for the rest. An estimate: check it on the isothermal diagram of the steel before anything rests on it.
    Raises ValueError where carbon is missing, X is not within its bounds or T or G is no number.
    Source: Li et al. 1998, eqs 22 to 24 [seen]; the coefficients again in four public programs that agree.

    4130 at 700 degF, grain 5, in minutes:

    >>> steel = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
    >>> round(bainite_time(steel, 371.1, 5).value / 60, 1)
    2.1
    """
    if not (isfinite(hold_c) and hold_c > -273.15):
        raise ValueError(f"hold_c must be a temperature in degC, not {hold_c}")
    if not isfinite(grain_astm):
        raise ValueError(f"grain_astm must be a number, not {grain_astm}")
    if not 0 < fraction < 1:
        raise ValueError(f"fraction must be above 0 and below 1, not {fraction}")
    start, martensite = bainite_start(composition), kung_rayment_ms(composition)
    inputs = {**start.inputs, "hold_c": hold_c, "grain_astm": grain_astm, "fraction": fraction}
    refusals = start.reasons
    if start.value is not None and hold_c >= start.value:
        refusals = (f"at {hold_c:g} degC no bainite forms: it begins below {start.value:.0f} degC",)
    if start.value is None or refusals:
        return Outcome("Li bainite time", None, "s", "not applicable", LI_SOURCE, refusals, inputs)
    assert martensite.value is not None
    status: Status = "ok"
    reasons: tuple[str, ...] = ("an estimate, to be checked on the isothermal diagram of the steel",)
    if hold_c < martensite.value:
        status = "extrapolated"
        below = f"{hold_c:g} degC is below Ms {martensite.value:.0f} degC: martensite forms first"
        reasons = (f"{below}, the time is that of the austenite left", *reasons)
    c, mn, ni, cr, mo = contents(composition, _ELEMENTS).values()
    hindrance = exp(-10.23 + 10.18 * c + 0.85 * mn + 0.55 * ni + 0.90 * cr + 0.36 * mo)
    mobility = exp(-_ACTIVATION_CAL_MOL / (_GAS_CONSTANT_CAL_MOL_K * (hold_c + 273.15)))
    speed = 2 ** (0.29 * grain_astm) * (start.value - hold_c) ** 2 * mobility
    value = hindrance * reaction_integral(fraction) / speed
    return Outcome("Li bainite time", value, "s", status, LI_SOURCE, reasons, inputs)


def bainite_time_range(
    composition: Composition, hold_c: float, fraction: float = 0.99
) -> tuple[Outcome, Outcome]:
    """``bainite_time`` of fine and of coarse austenite, ASTM 8 and 3 [s]: the shortest and the longest.

    The zone beside a weld is coarse: plan by the longest, and hold at least twice that (common practice, no
    published source).

    4140 at 600 degF, in minutes:

    >>> steel = {"C": 0.40, "Mn": 0.875, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
    >>> [round(end.value / 60) for end in bainite_time_range(steel, 315.6)]
    [23, 63]
    """
    return (
        bainite_time(composition, hold_c, FINE_GRAIN_ASTM, fraction),
        bainite_time(composition, hold_c, COARSE_GRAIN_ASTM, fraction),
    )


@lru_cache(maxsize=64)
def reaction_integral(fraction: float) -> float:
    """S(X) of ``bainite_time``: the integral from 0 to X of dX / (X^(0.4 (1 - X)) (1 - X)^(0.4 X)) [1].

    Input: ``fraction`` X [1], above 0 and below 1 (ValueError otherwise).

    The integrand is the same at X and at 1 - X, so the half up to 0.5 is enough. An adaptive quadrature of
    another library gives 1.025882 at 0.5 and 1.947424 at 0.99:

    >>> round(reaction_integral(0.5), 4), round(reaction_integral(0.99), 4)
    (1.0259, 1.9474)
    """
    if not 0 < fraction < 1:
        raise ValueError(f"fraction must be above 0 and below 1, not {fraction}")
    if fraction > 0.5:
        return 2 * reaction_integral(0.5) - reaction_integral(1 - fraction)
    steps = 1000
    # X = fraction u^5 takes the infinite slope at X = 0 out of the midpoint rule
    total = 0.0
    for step in range(steps):
        u = (step + 0.5) / steps
        x = fraction * u**5
        total += 5 * u**4 / (x ** (0.4 * (1 - x)) * (1 - x) ** (0.4 * x))
    return fraction * total / steps
