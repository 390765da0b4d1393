"""Reading ``profiles.toml``: rule profiles for stress relief."""

from collections.abc import Mapping
from fractions import Fraction
from typing import get_args

from traveler.library.model import HoldBasis, LowerSoak, Printed, RateOver, StressReliefProfile
from traveler.library.reading import Table
from traveler.metals.outcome import Source
from traveler.quantity.units import Kind

MM_PER_INCH = Fraction("25.4")
HOLD_BASES: Mapping[str, HoldBasis] = {basis: basis for basis in get_args(HoldBasis)}


class _Numbers:
    """The numbers of one profile; remembers the source of each by its field name."""

    def __init__(self, table: Table) -> None:
        self.table = table
        self.sources: dict[str, Source] = {}

    def limit_or_none(self, key: str, kind: Kind) -> Printed | None:
        limit = self.table.printed_or_none(key, kind)
        if limit is not None:
            self.sources[key] = limit.source
        return limit

    def limit(self, key: str, kind: Kind) -> Printed:
        limit = self.table.printed(key, kind)
        self.sources[key] = limit.source
        return limit


def read_profiles(data: Table) -> dict[str, StressReliefProfile]:
    """Every profile by its name."""
    profiles = {}
    for table in data.tables("profile"):
        profile = read_profile(table)
        profiles[profile.name] = profile
    data.done()
    return profiles


def read_profile(table: Table) -> StressReliefProfile:
    """One profile. The numbers of the hold share one source, that of its ``hold`` table.

    A hold is printed by the inch or by the millimetre, never by both.
    """
    numbers, hold = _Numbers(table), table.table("hold")
    numbers.sources["hold"] = hold.source()
    profile = StressReliefProfile(
        name=table.text("name"),
        title=table.text("title"),
        families=table.texts("families"),
        p_numbers=table.texts("p_numbers"),
        soak_min=numbers.limit_or_none("soak_min", Kind.TEMPERATURE),
        soak_max=numbers.limit_or_none("soak_max", Kind.TEMPERATURE),
        hold_min_minutes=hold.number("at_least_minutes"),
        hold_minutes_per_inch=_per_inch(hold, "minutes_per"),
        hold_knee_in=_knee_in(hold),
        hold_minutes_per_inch_beyond=_per_inch(hold, "minutes_per", "_beyond"),
        hold_round_up_in=hold.number_or_none("round_up_in"),
        heating_max=numbers.limit("heating_max", Kind.RATE),
        cooling_max=numbers.limit("cooling_max", Kind.RATE),
        rate_floor=numbers.limit_or_none("rate_floor", Kind.RATE),
        rate_threshold=numbers.limit("rate_threshold", Kind.TEMPERATURE),
        spread_max=numbers.limit_or_none("spread_max", Kind.SPAN),
        loading_max=numbers.limit_or_none("loading_max", Kind.TEMPERATURE),
        called_above=numbers.limit_or_none("called_above", Kind.LENGTH),
        called_reason=table.text("called_reason"),
        temper_margin=numbers.limit("temper_margin", Kind.SPAN),
        qt_band=numbers.limit_or_none("qt_band", Kind.SPAN),
        sources=numbers.sources,
        source=table.source(),
        spread_hold_max=numbers.limit_or_none("spread_hold_max", Kind.SPAN),
        hold_less_minutes=hold.number_or_none("less_minutes") or Fraction(0),
        hold_basis=_hold_basis(hold),
        hold_basis_words=hold.text_or_none("basis_words") or "the thickest member",
        heating_over=_rate_over(table, "heating_over"),
        cooling_over=_rate_over(table, "cooling_over"),
        lower=_lower(table.table("lower")) if table.has("lower") else None,
    )
    for below in (hold, table):
        below.done()
    return profile


def _per_inch(hold: Table, key: str, suffix: str = "") -> Fraction:
    by_mm = f"{key}_mm{suffix}"
    return hold.number(by_mm) * MM_PER_INCH if hold.has(by_mm) else hold.number(f"{key}_inch{suffix}")


def _knee_in(hold: Table) -> Fraction | None:
    return hold.number("knee_mm") / MM_PER_INCH if hold.has("knee_mm") else hold.number_or_none("knee_in")


def _hold_basis(hold: Table) -> HoldBasis:
    basis = hold.text_or_none("basis") or "thickest member"
    if basis not in HOLD_BASES:
        raise hold.fault("basis", basis, "one of " + ", ".join(HOLD_BASES))
    return HOLD_BASES[basis]


def _rate_over(table: Table, key: str) -> RateOver | None:
    if not table.has(key):
        return None
    entry = table.table(key)
    over = RateOver(entry.number_or_none("inch"), entry.number_or_none("metric"))
    entry.done()
    return over


def _lower(table: Table) -> LowerSoak:
    rows = []
    for row in table.tables("rows"):
        rows.append((row.printed("below", Kind.SPAN), row.number("hours")))
        row.done()
    lower = LowerSoak(
        rows=tuple(rows),
        minutes_beyond=table.number_or_none("minutes_beyond"),
        per_inch=table.flag("per_inch", False),
        note=table.text("note"),
        source=table.source(),
    )
    table.done()
    return lower
