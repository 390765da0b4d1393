"""Every published check value of the methods in use, and every recomputed one by a second route.

The numbers, their sources and marks lie in ``fixtures/published``. A ``published`` row is held against
what the source prints. For a ``recomputed`` row no source prints a result: the program is held against the
row and against a second way to the number, written here with other arithmetic (40-digit decimals, other
forms of the equation, counting).
"""

import tomllib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from traveler.metals.arc import arc_energy_kj_mm, heat_input_kj_mm
from traveler.metals.carbon_equivalents import (
    accommodation_factor,
    cen,
    index_ce_iiw,
    index_cen,
    index_cet,
    index_pcm,
)
from traveler.metals.en1011_method_b import preheat_method_b
from traveler.metals.measuring import (
    measuring_distance_iso_13916_mm,
    preheat_reach_d11_mm,
    waiting_time_iso_13916_s,
)
from traveler.metals.outcome import Outcome
from traveler.metals.soak import hold_minutes, rate_limit
from traveler.metals.transformation import andrews_ac1

PUBLISHED = Path(__file__).parents[2] / "fixtures" / "published"
EXACT = Fraction(1, 10**9)

Number = float | Fraction | Decimal


@dataclass(frozen=True)
class Case:
    name: str
    program: Callable[[], Number | Outcome]
    result: Fraction
    tolerance: Fraction
    second_route: Callable[[], Number] | None
    routes_agree_to: Fraction = EXACT
    status: str | None = None


# --- second routes ---


def _decimals(composition: Mapping[str, float]) -> Callable[[str], Decimal]:
    return lambda symbol: Decimal(str(composition.get(symbol, 0)))


def _ce_iiw_over_30(composition: Mapping[str, float]) -> Decimal:
    e = _decimals(composition)
    alloy = 6 * (e("Cr") + e("Mo") + e("V")) + 2 * (e("Ni") + e("Cu"))
    return (30 * e("C") + 5 * e("Mn") + alloy) / 30


def _cet_over_40(composition: Mapping[str, float]) -> Decimal:
    e = _decimals(composition)
    return (40 * e("C") + 4 * (e("Mn") + e("Mo")) + 2 * (e("Cr") + e("Cu")) + e("Ni")) / 40


def _pcm_over_60(composition: Mapping[str, float]) -> Decimal:
    e = _decimals(composition)
    chromium_and_others = 3 * (e("Mn") + e("Cu") + e("Cr"))
    return (
        60 * e("C") + 2 * e("Si") + chromium_and_others + e("Ni") + 4 * e("Mo") + 6 * e("V") + 300 * e("B")
    ) / 60


def _factor_as_logistic(carbon: Decimal) -> Decimal:
    """0.75 + 0.25 tanh x is 0.5 + 0.5 / (1 + exp(-2 x))."""
    with localcontext(prec=40):
        return Decimal("0.5") + Decimal("0.5") / (1 + (-40 * (carbon - Decimal("0.12"))).exp())


def _cen_over_120(composition: Mapping[str, float]) -> Decimal:
    e = _decimals(composition)
    fifths = 24 * (e("Cr") + e("Mo") + e("Nb") + e("V"))
    bracket = (5 * e("Si") + 20 * e("Mn") + 8 * e("Cu") + 6 * e("Ni") + fifths + 600 * e("B")) / 120
    return e("C") + _factor_as_logistic(e("C")) * bracket


def _closed_method_b(leading: int, constant: int, row: Mapping[str, Decimal]) -> Decimal:
    """One line instead of four parts; tanh and the power by way of exp and ln, in 40 digits."""
    with localcontext(prec=40):
        cet, heat_input = row["cet"], row["heat_input_kj_mm"]
        twice = (2 * row["thickness_mm"] / 35).exp()
        hydrogen = (Decimal("0.35") * row["hydrogen_ml_100g"].ln()).exp()
        steel = leading * cet + (53 * cet - 32) * heat_input
        return steel + 160 * (twice - 1) / (twice + 1) + 62 * hydrogen - constant


def _american_heat_input(volts: Fraction, amps: Fraction, travel_mm_s: Fraction) -> Fraction:
    """Joules per inch from volts, amperes and inches per minute."""
    travel_in_min = travel_mm_s * 60 / Fraction("25.4")
    return volts * amps * 60 / travel_in_min


def _counted_hold(thickness_in: Fraction, rule: Mapping[str, Fraction]) -> Fraction:
    """Minutes counted slice by slice, apart for the metal up to the knee and for the metal beyond it."""
    knee_in = rule.get("knee_in", thickness_in)
    coarse_in = rule.get("round_up_in")
    shallow_in = _counted(min(thickness_in, knee_in), coarse_in)
    deep_in = _counted(thickness_in - knee_in, None if coarse_in is None else Fraction(1))
    minutes = max(shallow_in * rule["per_inch"], rule["minimum"])
    return minutes + deep_in * rule.get("per_inch_beyond", Fraction(0))


def _counted(length_in: Fraction, whole_step_in: Fraction | None) -> Fraction:
    """Length in whole steps, the last one begun counting whole; or in sixteenths, the last one cut off."""
    counted_in = Fraction(0)
    while counted_in < length_in:
        sixteenth_or_rest = min(Fraction(1, 16), length_in - counted_in)
        counted_in += sixteenth_or_rest if whole_step_in is None else whole_step_in
    return counted_in


def _rate_by_sentence(thickness_in: Fraction, cap: Fraction, floor: Fraction) -> Fraction:
    return sorted([floor, min(cap, cap / thickness_in), cap])[1]


def _grange_ac1(composition: Mapping[str, float]) -> Decimal:
    e = _decimals(composition)
    fahrenheit = 1333 + 40 * e("Si") - 25 * e("Mn") - 26 * e("Ni") + 42 * e("Cr")
    return (fahrenheit - 32) / Decimal("1.8")


MEASURING: dict[str, tuple[Callable[[float], float], Callable[[Fraction], Fraction]]] = {
    "ISO 13916 distance": (
        measuring_distance_iso_13916_mm,
        lambda t: Fraction(75) if t > 50 else 50 - 4 * max(Fraction(0), Fraction("12.5") - t),
    ),
    "ISO 13916 wait": (waiting_time_iso_13916_s, lambda t: 60 * t / Fraction("12.5")),
    "AWS D1.1 reach": (preheat_reach_d11_mm, lambda t: 75 + max(Fraction(0), t - 75)),
}

INDEX: dict[str, tuple[Callable[[Mapping[str, float]], Outcome], Callable[[Mapping[str, float]], Decimal]]]
INDEX = {
    "CE(IIW)": (index_ce_iiw, _ce_iiw_over_30),
    "CET": (index_cet, _cet_over_40),
    "Pcm": (index_pcm, _pcm_over_60),
    "CEN": (index_cen, _cen_over_120),
}


# --- the rows of the fixtures as cases ---


def _load(topic: str) -> dict[str, Any]:
    return tomllib.loads((PUBLISHED / f"{topic}.toml").read_text(encoding="utf-8"))


def _fractions(texts: Mapping[str, str]) -> dict[str, Fraction]:
    return {name: Fraction(text) for name, text in texts.items()}


def _cen_with_unit_factor(composition: Mapping[str, float]) -> float:
    """The bracket of the program's CEN without its factor, as a worksheet with f = 1 takes it."""
    carbon = composition["C"]
    return carbon + (cen(composition) - carbon) / accommodation_factor(carbon)


def _carbon_equivalent_cases() -> Iterator[Case]:
    topic = _load("carbon_equivalents")
    for check in topic["check"]:
        tolerance = Fraction(check["tolerance"])
        recomputed = check["origin"] == "recomputed"
        if check["method"] == "A(C)":
            for carbon, result in check["table"]:
                yield Case(
                    f"A({carbon}) {check['origin']}",
                    partial(accommodation_factor, float(carbon)),
                    Fraction(result),
                    tolerance,
                    partial(_factor_as_logistic, Decimal(carbon)) if recomputed else None,
                )
            continue
        program, route = INDEX.get(check["method"], (_cen_with_unit_factor, None))
        yield Case(
            f"{check['method']} {check['source']}",
            partial(program, check["composition"]),
            Fraction(check["result"]),
            tolerance,
            partial(route, check["composition"]) if route and recomputed else None,
        )
    for steel in topic["steel"]:
        for method, result in steel["results"].items():
            program, second = INDEX[method]
            yield Case(
                f"{method} {steel['name']}",
                partial(program, steel["composition"]),
                Fraction(result),
                Fraction("0.00005"),
                partial(second, steel["composition"]),
            )


def _method_b_cases() -> Iterator[Case]:
    for check in _load("method_b")["check"]:
        for values in check["table"]:
            row = dict(zip(check["columns"], values, strict=True))
            status, result, sew_088 = row.pop("status"), row.pop("result"), row.pop("sew_088", None)
            numbers = {name: Decimal(text) for name, text in row.items()}
            program = partial(
                preheat_method_b,
                cet=float(numbers["cet"]),
                thickness_mm=float(numbers["thickness_mm"]),
                hydrogen_ml_100g=float(numbers["hydrogen_ml_100g"]),
                heat_input_kj_mm=float(numbers["heat_input_kj_mm"]),
            )
            name, tolerance = f"method B {row}", Fraction(check["tolerance"])
            en_1011 = partial(_closed_method_b, 697, 328, numbers)
            yield Case(name, program, Fraction(result), tolerance, en_1011, status=status)
            if sew_088 is not None:
                yield Case(
                    f"SEW 088 {row}",
                    partial(_less_the_difference, program, float(numbers["cet"])),
                    Fraction(sew_088),
                    tolerance,
                    partial(_closed_method_b, 700, 330, numbers),
                )


def _less_the_difference(program: Callable[[], Outcome], cet: float) -> float:
    """EN 1011-2 lies 2 - 3 CET above SEW 088."""
    value = program().value
    assert value is not None
    return value - (2 - 3 * cet)


def _arc_cases() -> Iterator[Case]:
    for check in _load("arc")["check"]:
        for values in check["table"]:
            row = dict(zip(check["columns"], values, strict=True))
            inputs = _fractions({key: row[key] for key in ("volts", "amps", "travel_mm_s")})
            energy = partial(arc_energy_kj_mm, **inputs)
            efficiency, result = Fraction(row["efficiency"]), Fraction(row["arc_energy"])
            american = None
            if "joules_per_inch" in row:
                assert _american_heat_input(**inputs) == Fraction(row["joules_per_inch"])
                american = partial(_in_kj_mm, Fraction(row["joules_per_inch"]))
            yield Case(f"arc energy {row['process']}", energy, result, Fraction(0), american)
            yield Case(
                f"heat input {row['process']}",
                partial(heat_input_kj_mm, energy(), efficiency),
                Fraction(row["heat_input"]),
                Fraction(0),
                partial(_in_kj_mm, Fraction(row["joules_per_inch"]) * efficiency) if american else None,
            )


def _in_kj_mm(joules_per_inch: Fraction) -> Fraction:
    return joules_per_inch / 25400


def _measuring_cases() -> Iterator[Case]:
    for check in _load("measuring")["check"]:
        program, route = MEASURING[check["method"]]
        for thickness_mm, result in check["table"]:
            yield Case(
                f"{check['method']} {thickness_mm} mm",
                partial(program, float(thickness_mm)),
                Fraction(result),
                Fraction(0),
                partial(route, Fraction(thickness_mm)),
            )


def _hold_cases() -> Iterator[Case]:
    for check in _load("hold_times")["check"]:
        rule = _fractions(check["rule"])
        for thickness_in, result in check["table"]:
            yield Case(
                f"hold {check['source']} {thickness_in} in",
                partial(hold_minutes, Fraction(thickness_in), **rule),
                Fraction(result),
                Fraction(0),
                partial(_counted_hold, Fraction(thickness_in), rule)
                if check["origin"] == "recomputed"
                else None,
            )


def _rate_cases() -> Iterator[Case]:
    for check in _load("rate_limits")["check"]:
        limits = _fractions({key: check[key] for key in ("cap", "floor")})
        for thickness_in, result in check["table"]:
            yield Case(
                f"rate {check['source']} {thickness_in} in",
                partial(rate_limit, Fraction(thickness_in), **limits),
                Fraction(result),
                Fraction(check["tolerance"]),
                partial(_rate_by_sentence, Fraction(thickness_in), **limits),
            )


def _lower_critical_cases() -> Iterator[Case]:
    for check in _load("lower_critical")["check"]:
        recomputed = check["origin"] == "recomputed"
        yield Case(
            f"Ac1 {check['source']}",
            partial(andrews_ac1, check["composition"]),
            Fraction(check["result"]),
            Fraction(check["tolerance"]),
            partial(_grange_ac1, check["composition"]) if recomputed else None,
            routes_agree_to=Fraction(10),
        )


CASES = [
    *_carbon_equivalent_cases(),
    *_method_b_cases(),
    *_arc_cases(),
    *_measuring_cases(),
    *_hold_cases(),
    *_rate_cases(),
    *_lower_critical_cases(),
]


def _exact(number: Number) -> Fraction:
    return Fraction(str(number))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_value_is_the_published_one(case: Case) -> None:
    answer = case.program()
    if isinstance(answer, Outcome):
        assert answer.value is not None
        assert sum(answer.parts.values()) == pytest.approx(answer.value, abs=1e-12)
        assert case.status in (None, answer.status)
        value = _exact(answer.value)
    else:
        value = _exact(answer)
    assert abs(value - case.result) <= case.tolerance
    if case.second_route is not None:
        assert abs(_exact(case.second_route()) - value) <= case.routes_agree_to


def test_every_recomputed_row_names_a_source_and_a_mark() -> None:
    for path in sorted(PUBLISHED.glob("*.toml")):
        for check in tomllib.loads(path.read_text(encoding="utf-8"))["check"]:
            assert check["origin"] in ("published", "recomputed"), path.name
            assert check["source"], path.name
            assert check["mark"] in ("seen", "secondary", "memory"), path.name
