"""How much of the austenite has become martensite at a temperature."""

from math import exp, isfinite, log

from traveler.metals.composition import Composition, contents, require_carbon
from traveler.metals.martensite_start import VAN_BOHEMEN_ELEMENTS, VAN_BOHEMEN_SOURCE, van_bohemen_ms
from traveler.metals.outcome import Outcome, Source

KOISTINEN_MARBURGER_SOURCE = Source(
    "Koistinen and Marburger, Acta Metall. 7, 59-60", "secondary", edition="1959"
)


def van_bohemen_rate_per_c(composition: Composition) -> float:
    """How fast martensite grows with falling temperature, alpha in f = 1 - exp(-alpha (Ms - T)) [1/degC].

    alpha = 10^-3 [27.2 - (0.14 Mn + 0.21 Si + 0.11 Cr + 0.08 Ni + 0.05 Mo) - 19.8 (1 - exp(-1.56 C))].

    Validity, errors, source: those of ``van_bohemen_ms``.

    >>> round(van_bohemen_rate_per_c({"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}), 5)
    0.01956
    """
    require_carbon(composition)
    c, mn, si, cr, ni, mo = contents(composition, VAN_BOHEMEN_ELEMENTS).values()
    alloy = 0.14 * mn + 0.21 * si + 0.11 * cr + 0.08 * ni + 0.05 * mo
    return (27.2 - alloy - 19.8 * (1 - exp(-1.56 * c))) / 1000


def martensite_fraction(composition: Composition, temperature_c: float) -> Outcome:
    """Share of the austenite that has become martensite on cooling to a temperature, by van Bohemen [1].

    f = 1 - exp(-alpha (Ms - T)), with his Ms and alpha; 0 from Ms up.

    Inputs: ``composition`` [mass %]; ``temperature_c`` T [degC]. Validity: austenite that nothing else has
    consumed; otherwise as ``van_bohemen_ms``. Raises ValueError where T is no temperature.

    4130 that rests at 316 degC is three quarters martensite, and not ready for cooling without harm:

    >>> steel = {"C": 0.30, "Mn": 0.50, "Si": 0.25, "Cr": 0.95, "Mo": 0.20}
    >>> round(martensite_fraction(steel, 316).value, 2)
    0.74
    """
    start = van_bohemen_ms(composition)
    assert start.value is not None
    return Outcome(
        method="van Bohemen martensite fraction",
        value=_fraction(van_bohemen_rate_per_c(composition), start.value, temperature_c),
        unit="1",
        status=start.status,
        source=VAN_BOHEMEN_SOURCE,
        reasons=start.reasons,
        inputs={**start.inputs, "temperature_c": temperature_c},
    )


def martensite_temperature(composition: Composition, fraction: float = 0.90) -> Outcome:
    """Temperature at which that share of the austenite is martensite, by van Bohemen; 0.90 is M90 [degC].

    T = Ms + ln(1 - f)/alpha, with his Ms and alpha.

    Input: ``fraction`` f [1], from 0 to below 1; anything else is a ValueError. Validity, errors, source: those of
    ``martensite_fraction``.

    8630, whose reported M90 is about 280 degC:

    >>> round(martensite_temperature({"C": 0.30, "Mn": 0.80, "Si": 0.25, "Cr": 0.50, "Ni": 0.55, "Mo": 0.20}).value)
    252
    """
    if not 0 <= fraction < 1:
        raise ValueError(f"fraction must be from 0 to below 1, not {fraction}")
    start = van_bohemen_ms(composition)
    assert start.value is not None
    return Outcome(
        method=f"van Bohemen M{100 * fraction:g}",
        value=start.value + log(1 - fraction) / van_bohemen_rate_per_c(composition),
        unit="degC",
        status=start.status,
        source=VAN_BOHEMEN_SOURCE,
        reasons=start.reasons,
        inputs={**start.inputs, "fraction": fraction},
    )


def koistinen_marburger(ms_c: float, temperature_c: float) -> Outcome:
    """Share of martensite by the formula with one constant for every steel, a cross-check [1].

    f = 1 - exp(-0.011 (Ms - T)); 0 from Ms up.

    Inputs: ``ms_c`` Ms and ``temperature_c`` T [degC]. Validity: made on steels with more carbon [memory]; it
    understates the share in those of this trade (M90 of 8630 comes out about 120 degC below the reported one):
    always ``extrapolated``. Raises ValueError where T is no temperature.
    Source: Koistinen and Marburger 1959 [secondary].

    >>> round(koistinen_marburger(382, 260).value, 2)
    0.74
    """
    reason = "understates the martensite of steels with less carbon than those it was made on"
    return Outcome(
        method="Koistinen-Marburger martensite fraction",
        value=_fraction(0.011, ms_c, temperature_c),
        unit="1",
        status="extrapolated",
        source=KOISTINEN_MARBURGER_SOURCE,
        reasons=(reason,),
        inputs={"ms_c": ms_c, "temperature_c": temperature_c},
    )


def _fraction(rate_per_c: float, ms_c: float, temperature_c: float) -> float:
    if not (isfinite(temperature_c) and temperature_c >= -273.15):
        raise ValueError(f"temperature_c must be a temperature in degC, not {temperature_c}")
    return 1 - exp(-rate_per_c * max(0.0, ms_c - temperature_c))
