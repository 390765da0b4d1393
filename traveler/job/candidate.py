"""One method's answer on its way into a limit: the row to print and the exact limit it would set."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from traveler.job.requirement import Basis, Bound
from traveler.library.model import Printed, Role, Units
from traveler.metals.outcome import Outcome, Source, Status
from traveler.quantity.parse import stored, unit
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import decimal_text, rounded_down, rounded_up, show
from traveler.quantity.units import ABSOLUTE_ZERO_C

TEMPERATURE_SYMBOL = {"inch": "degF", "metric": "degC"}
READ_IN = {"degF": "degC", "in": "mm", "delta_degF": "delta_degC", "delta_degF/h": "delta_degC/h"}
"""Unit in which a basis row shows a value that its source prints in another."""
DECIMALS = {"kJ/mm": 2}
"""Decimals of a row's value, where one is too few."""
INPUT_WORDS = {
    "cet": ("CET", "%"),
    "thickness_mm": ("thickness", "mm"),
    "hydrogen_ml_100g": ("hydrogen", "ml/100 g"),
    "heat_input_kj_mm": ("heat input", "kJ/mm"),
    "chemical_equivalent": ("chemical equivalent Cc", "%"),
    "total_equivalent": ("total equivalent Ct", "%"),
}
"""How the inputs of the published methods are called on paper."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A basis row and the limit it sets where it governs; no limit where the method says nothing."""

    basis: Basis
    limit: Quantity | None

    @property
    def counts(self) -> bool:
        """Governs by its role and is inside its validity."""
        return self.limit is not None and self.basis.role == "governs" and self.basis.status == "ok"

    @property
    def may_stand_in(self) -> bool:
        """Governs by its role though outside its validity: used only where nothing else counts."""
        return self.limit is not None and self.basis.role == "governs" and self.basis.status == "extrapolated"


def printed_candidate(
    method: str,
    bound: Bound,
    printed: Printed,
    units: Units,
    role: Role = "governs",
    member: str | None = None,
    reasons: tuple[str, ...] = (),
    working: tuple[tuple[str, str], ...] = (),
) -> Candidate:
    """A limit that its source prints; it is kept in the unit it is printed in."""
    limit = printed.for_units(units)
    return from_quantity(method, bound, limit, printed.source, role, member, reasons, working)


def from_quantity(
    method: str,
    bound: Bound,
    limit: Quantity,
    source: Source,
    role: Role = "governs",
    member: str | None = None,
    reasons: tuple[str, ...] = (),
    working: tuple[tuple[str, str], ...] = (),
) -> Candidate:
    """A limit given as a quantity; the row shows it in the canonical unit, rounded for reading."""
    symbol = READ_IN.get(limit.unit.symbol, limit.unit.symbol)
    value = _value_text(limit.canonical, symbol)
    if symbol != limit.unit.symbol:
        working = (("as printed", show(limit)), *working)
    basis = Basis(method, bound, role, "ok", value, symbol, source, reasons, member, working)
    return Candidate(basis, limit)


@lru_cache(maxsize=1024)  # every "what if" of every joint asks for the same few rows of the tables
def _value_text(canonical: Fraction, symbol: str) -> str:
    """A row's value in the unit it is read in, rounded for reading."""
    return decimal_text(unit(symbol).from_canonical(canonical), DECIMALS.get(symbol, 1))


def from_outcome(
    outcome: Outcome, bound: Bound, units: Units, role: Role, member: str | None, span: Fraction = Fraction(0)
) -> Candidate:
    """A computed temperature plus ``span`` degrees Celsius; as a limit it is rounded to the safe whole degree."""
    working = tuple(_input(name, value) for name, value in outcome.inputs.items())
    working += tuple(
        (f"contribution of {words}", f"{value:.1f} °C") for words, value in outcome.parts.items()
    )
    value = None if outcome.value is None else Fraction(str(round(outcome.value, 6))) + span
    basis = Basis(
        method=outcome.method,
        bound=bound,
        role=role,
        status=outcome.status,
        value=None if value is None else decimal_text(value, 1),
        unit=outcome.unit,
        source=outcome.source,
        reasons=outcome.reasons,
        member=member,
        working=working,
    )
    if value is not None and value <= ABSOLUTE_ZERO_C:
        return says_nothing(
            Candidate(basis, None), f"the formula leaves all sense here: {decimal_text(value, 0)} °C"
        )
    return Candidate(basis, None if value is None else safe_temperature(value, bound, units))


def _input(name: str, value: float) -> tuple[str, str]:
    words, symbol = INPUT_WORDS[name]
    return words, f"{value:.4g} {symbol}"


def safe_temperature(value_c: Fraction, bound: Bound, units: Units) -> Quantity:
    """A computed temperature as a whole degree of the job's unit, rounded to the stricter side."""
    symbol = TEMPERATURE_SYMBOL[units]
    number = unit(symbol).from_canonical(value_c)
    return stored(rounded_up(number, 0) if bound == "at_least" else rounded_down(number, 0), symbol)


def in_words(
    method: str,
    bound: Bound,
    source: Source,
    role: Role,
    member: str,
    status: Status,
    said: tuple[str, ...],
    working: tuple[tuple[str, str], ...] = (),
) -> Candidate:
    """A method whose whole answer is words: it has no number and sets no limit."""
    return Candidate(Basis(method, bound, role, status, None, None, source, said, member, working), None)


def says_nothing(candidate: Candidate, reason: str) -> Candidate:
    """The same row as not applicable, with the reason; it sets no limit."""
    basis = replace(
        candidate.basis, status="not applicable", value=None, reasons=(*candidate.basis.reasons, reason)
    )
    return Candidate(basis, None)


def greatest(candidates: Iterable[Candidate]) -> Candidate:
    """The one with the highest limit; the first of equals."""
    return max(candidates, key=_size)


def least(candidates: Iterable[Candidate]) -> Candidate:
    """The one with the lowest limit; the first of equals."""
    return min(candidates, key=_size)


def _size(candidate: Candidate) -> Fraction:
    if candidate.limit is None:
        raise ValueError("a candidate without a limit cannot be compared")
    return candidate.limit.canonical
