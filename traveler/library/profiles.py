"""Reading ``profiles.toml``: rule profiles for stress relief."""

from traveler.library.model import Printed, StressReliefProfile
from traveler.library.reading import Table
from traveler.metals.outcome import Source
from traveler.quantity.units import Kind


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
    """One profile. The numbers of the hold share one source, that of its ``hold`` table."""
    numbers, hold = _Numbers(table), table.table("hold")
    numbers.sources["hold"] = hold.source()
    profile = StressReliefProfile(
        name=table.text("name"),
        title=table.text("title"),
        families=table.texts("families"),
        p_numbers=table.texts("p_numbers"),
        soak_min=numbers.limit("soak_min", Kind.TEMPERATURE),
        soak_max=numbers.limit_or_none("soak_max", Kind.TEMPERATURE),
        hold_min_minutes=hold.number("at_least_minutes"),
        hold_minutes_per_inch=hold.number("minutes_per_inch"),
        hold_knee_in=hold.number_or_none("knee_in"),
        hold_minutes_per_inch_beyond=hold.number("minutes_per_inch_beyond"),
        hold_round_up_in=hold.number_or_none("round_up_in"),
        heating_max=numbers.limit("heating_max", Kind.RATE),
        cooling_max=numbers.limit("cooling_max", Kind.RATE),
        rate_floor=numbers.limit("rate_floor", Kind.RATE),
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
    )
    for below in (hold, table):
        below.done()
    return profile
