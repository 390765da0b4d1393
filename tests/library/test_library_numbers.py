"""Every number of the library carries a source and a mark, and is exact where it decides anything."""

from collections.abc import Iterator
from fractions import Fraction
from typing import get_args

import pytest

from traveler.library.load import load_library
from traveler.library.model import Library, Printed, Steel, StressReliefProfile
from traveler.metals.outcome import Mark, Source
from traveler.quantity.units import Kind

COMMON_PRACTICE = "common practice, no published source"


@pytest.fixture(scope="module")
def library() -> Library:
    return load_library()


def steels(library: Library) -> list[Steel]:
    return list({steel.name: steel for steel in library.steels.values()}.values())


def sources(library: Library) -> Iterator[tuple[str, Source]]:
    """The source of every number, with the place it stands at."""
    for steel in steels(library):
        yield steel.name, steel.source
        yield from ((f"{steel.name} {element}", limits.source) for element, limits in steel.limits.items())
        yield from ((steel.name, entry[1]) for entry in (steel.cev_max, steel.yield_mpa) if entry)
        if steel.interpass_max:
            yield steel.name, steel.interpass_max.source
        if steel.tensile_mpa:
            yield steel.name, steel.tensile_mpa[1]
    for filler in library.fillers.values():
        yield filler.classification, filler.source
        if filler.deposit is not None:
            assert filler.deposit_source is not None, filler.classification
            yield filler.classification, filler.deposit_source
        if filler.hydrogen_ml_100g is not None:
            assert filler.hydrogen_source is not None, filler.classification
            yield filler.classification, filler.hydrogen_source
    for process in library.processes.values():
        yield process.number, process.efficiency_source
        yield process.number, process.hydrogen_source
    yield from ((name, printed.source) for name, printed in all_printed(library))
    yield from ((name, source) for name, (_, source) in library.numbers.items())
    yield from ((name, table.source) for name, table in library.waiting.items())
    for name, profile in library.profiles.items():
        yield name, profile.source
        yield from ((f"{name} {key}", source) for key, source in profile.sources.items())


def all_printed(library: Library) -> Iterator[tuple[str, Printed]]:
    yield from library.printed.items()
    for name, table in library.preheat_tables.items():
        for row in table.rows:
            yield name, row.minimum
            if row.up_to is not None:
                yield name, row.up_to
    for name, rule in library.rule_tables.items():
        for row in rule.rows:
            yield from ((name, printed) for printed in (row.minimum, row.under, row.up_to) if printed)
    for name, profile in library.profiles.items():
        yield from ((f"{name} {key}", printed) for key, printed in profile_limits(profile))


def profile_limits(profile: StressReliefProfile) -> Iterator[tuple[str, Printed]]:
    for key in profile.__dataclass_fields__:
        value = getattr(profile, key)
        if isinstance(value, Printed):
            yield key, value


def test_every_number_names_a_source_and_a_valid_mark(library: Library) -> None:
    found = list(sources(library))
    assert len(found) > 500
    for place, source in found:
        assert source.mark in get_args(Mark), place
        assert (source.title is None) == (source.mark == COMMON_PRACTICE), place
        assert source.title is None or len(source.title) > 3, place


def test_every_limit_of_a_profile_has_its_own_source(library: Library) -> None:
    for profile in library.profiles.values():
        named = {key for key, _ in profile_limits(profile)} | {"hold"}
        assert set(profile.sources) == named, profile.name


def test_composition_limits_are_ranges_of_mass_percent(library: Library) -> None:
    for steel in steels(library):
        assert {"C", "P", "S"} <= set(steel.limits), steel.name
        for element, limits in steel.limits.items():
            place = f"{steel.name} {element}"
            known = [limit for limit in (limits.min, limits.max) if limit is not None]
            assert known, place
            assert known == sorted(known), place
            assert all(0 < limit <= 26 for limit in known), place


def test_a_blank_stays_unknown(library: Library) -> None:
    """ASTM A36 has no manganese limit for plate up to 3/4 in: neither zero nor a guess."""
    a36 = library.steel("A36")
    assert a36 is not None
    assert "Mn" not in a36.limits


def test_the_library_has_the_steels_fillers_and_processes_of_the_trade(library: Library) -> None:
    assert 25 <= len(library.names()) <= 40
    assert list(library.names()) == sorted(library.names())
    assert {"4130", "4140", "42CrMo4", "4340", "8630", "25CrMo4", "15CDV6"} <= set(library.names())
    assert {"A36", "S355J2", "DOM 1020", "S690QL", "304L"} <= set(library.names())
    kinds = {filler.kind for filler in library.fillers.values()}
    assert kinds == {"unalloyed", "low alloy", "4130 type", "austenitic", "nickel"}
    assert {"111", "114", "121", "131", "135", "136", "138", "141", "15"} <= set(library.processes)


def test_names_are_found_in_any_case_and_by_alias(library: Library) -> None:
    assert library.steel(" aisi 4130 ") is library.steel("4130")
    assert library.steel("s355k2") is library.steel("S355J2")
    assert library.filler("ernicr-3") is library.filler("ERNiCr-3")
    assert library.steel("unobtainium") is None
    assert library.filler("ER99S-9") is None


def test_every_family_has_roles_and_every_nickel_filler_a_maximum(library: Library) -> None:
    for steel in steels(library):
        assert steel.family in library.preheat_roles, steel.name
    for filler in library.fillers.values():
        assert (filler.interpass_max is not None) == (filler.kind in ("nickel", "austenitic"))


def test_numbers_that_decide_are_exact(library: Library) -> None:
    for place, printed in all_printed(library):
        for quantity in (printed.inch, printed.metric):
            if quantity is not None:
                assert isinstance(quantity.number, Fraction), place
    for process in library.processes.values():
        assert isinstance(process.efficiency, Fraction)
    assert library.processes["141"].efficiency == Fraction(3, 5)
    assert library.numbers["thin structural cev"][0] == Fraction(45, 100)


def test_a_difference_is_no_temperature(library: Library) -> None:
    spans = ("interpass above preheat", "temper margin", "ac1 margin", "high restraint", "window warning")
    for name in spans:
        printed = library.printed[name]
        assert {q.unit.kind for q in (printed.inch, printed.metric) if q} == {Kind.SPAN}, name


# AWS D1.1 prints 600 °C beside 1100 °F, and 260 beside 500 F°/h, which as a rate would be 278: the stricter is kept.
PRINTED_FAR_APART = {
    "D1.1 soak_min": 7.0,
    "D1.1 QT soak_max": 7.0,
    "D1.1 cooling_max": 18.0,
    "D1.1 QT cooling_max": 18.0,
}


def test_two_printed_numbers_are_the_same_limit_rounded(library: Library) -> None:
    """A slip such as 250 F° beside 121 C° (the 32 subtracted from a difference) would be far apart."""
    allowed = {Kind.TEMPERATURE: 3.0, Kind.SPAN: 2.0, Kind.RATE: 3.0, Kind.LENGTH: 1.6}
    for place, printed in all_printed(library):
        if printed.inch is not None and printed.metric is not None:
            apart = abs(printed.inch.canonical - printed.metric.canonical)
            assert apart <= PRINTED_FAR_APART.get(place, allowed[printed.inch.unit.kind]), place


def test_tables_are_bound_to_grades_that_exist(library: Library) -> None:
    names = set(library.names())
    for table in library.preheat_tables.values():
        for serves in table.serves:
            assert set(serves.grades) <= names, table.name
            assert (serves.role == "governs") == (serves.reason is None), table.name


def test_no_grade_is_governed_by_two_tables_of_one_make(library: Library) -> None:
    governed = [
        (grade, serves.make)
        for table in library.preheat_tables.values()
        for serves in table.serves
        if serves.role == "governs"
        for grade in serves.grades
    ]
    assert len(governed) == len(set(governed))


def test_the_last_row_of_each_group_of_a_rule_has_no_condition_and_none_before_it_asks_more(
    library: Library,
) -> None:
    """Where nothing is known the last row is taken, so it has to be the strictest."""
    for rule in library.rule_tables.values():
        for group in {group for row in rule.rows for group in row.groups}:
            rows = [row for row in rule.rows if group in row.groups]
            last = rows[-1]
            assert not any((last.under, last.up_to, last.tensile_up_to_mpa, last.carbon_up_to)), group
            minima = [row.minimum.for_units("inch").canonical for row in rows]
            assert minima[-1] == max(minima), group


def test_minimum_preheat_by_a_table_never_falls_with_thickness(library: Library) -> None:
    for name, table in library.preheat_tables.items():
        minima = [row.minimum.for_units("inch").canonical for row in table.rows]
        assert minima == sorted(minima), name
