"""Wrong data is refused with the file, the key, what was read and what was expected."""

import pytest

from traveler.errors import TravelerError
from traveler.library.fillers import read_fillers
from traveler.library.profiles import read_profiles
from traveler.library.reading import read_data, table_of
from traveler.library.rules import read_limits, read_preheat, read_rule_tables
from traveler.library.steels import read_steels

SOURCES = """
[source.book]
title = "a standard"
mark = "seen"

[source.practice]
mark = "common practice, no published source"
"""
STEEL = """
[[steel]]
name = "X1"
spec = "a standard"
family = "4130"
hardenable = true
group = "5.1"
source = "book"
[steel.limits]
C = "0.28 to 0.33"
"""
FAMILIES = frozenset({"4130"})
CARBON, BOOK, GROUP = 'C = "0.28 to 0.33"', 'source = "book"', 'group = "5.1"'


def test_the_sample_itself_is_sound() -> None:
    steel = read_steels(table_of("steels.toml", SOURCES + STEEL), FAMILIES)["x1"]
    assert (steel.limits["C"].min, steel.limits["C"].max) == (0.28, 0.33)
    assert steel.p_number is None
    assert steel.cev_max is None


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        (CARBON, 'C = "0.33 to 0.28"', "steel X1, limits, C: read '0.33 to 0.28', expected the smaller"),
        (CARBON, 'C = "0.28-0.33"', "steel X1, limits, C: read '0.28-0.33', expected"),
        (CARBON, "C = 0.33", "steel X1, limits, C: read .*0.33.*, expected a text"),
        (BOOK, 'source = "memoir"', "steel X1.*source: read 'memoir', expected one of book, practice"),
        (BOOK, "", "steel X1.*source: read None"),
        (BOOK, f'{BOOK}\nmark = "sure"', "mark: read 'sure', expected one of seen; secondary"),
        (GROUP, 'groop = "5.1"', "steels.toml, steel X1: group is missing"),
        (GROUP, f'{GROUP}\ngroop = "5.1"', "steels.toml, steel X1: unknown key 'groop'"),
        ('family = "4130"', 'family = "5130"', "family: read '5130', expected a family"),
        ("hardenable = true", 'hardenable = "yes"', "hardenable: read 'yes', expected true or false"),
        ('spec = "a standard"', 'spec = " "', "spec: read ' ', expected a text"),
        ('name = "X1"', 'name = "X1"\naliases = ["x1"]', "the name 'x1' is taken already"),
        (GROUP, f"{GROUP}\nlimits_up_to_mm = -3", "limits_up_to_mm: read -3, expected a number"),
        ('title = "a standard"', "", "source book: a source has a title, common practice has none"),
        ("[[steel]]", "[[steel]", "steels.toml: not readable as TOML"),
    ],
)
def test_a_wrong_steel(right: str, wrong: str, message: str) -> None:
    text = SOURCES + STEEL
    assert right in text
    with pytest.raises(TravelerError, match=message):
        read_steels(table_of("steels.toml", text.replace(right, wrong, 1)), FAMILIES)


LIMIT = """
[limit."cap"]
kind = "temperature"
inch = "800 F"
source = "practice"

[number."cev"]
value = 0.45
source = "book"
"""


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        ('inch = "800 F"', 'inch = "800"', "limits.toml, limit, cap, inch: 800: the unit is missing"),
        ('inch = "800 F"', "", "limits.toml, limit, cap: expected the limit as inch or metric or both"),
        ('inch = "800 F"', 'inch = "800 in"', "limit, cap, inch: 800 in"),
        ('kind = "temperature"', 'kind = "heat"', "kind: read 'heat', expected one of temperature"),
        ("value = 0.45", "value = true", "number, cev, value: read True, expected a number"),
    ],
)
def test_a_wrong_limit(right: str, wrong: str, message: str) -> None:
    assert right in LIMIT
    with pytest.raises(TravelerError, match=message):
        read_limits(table_of("limits.toml", SOURCES + LIMIT.replace(right, wrong, 1)))


TABLE = """
[[table]]
name = "T"
title = "t"
grace_mm = 0.1
source = "practice"
[[table.rows]]
up_to = { inch = "1/8 in" }
minimum = { inch = "200 F" }
[[table.rows]]
minimum = { inch = "300 F" }

[roles.4130]
"T" = "governs"
"""


def test_rows_inherit_the_source_of_their_table() -> None:
    tables, roles, casting_roles = read_preheat(table_of("preheat.toml", SOURCES + TABLE))
    assert tables["T"].rows[0].minimum.source.mark == "common practice, no published source"
    assert roles == {"4130": {"T": "governs"}}
    assert casting_roles == {}


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        ('up_to = { inch = "1/8 in" }', "", "table T, rows: .* expected rows that each end somewhere"),
        ('minimum = { inch = "200 F" }', "", "table T, rows 0: minimum is missing"),
        ('"T" = "governs"', '"T" = "rules"', "4130, T: read 'rules', expected one of governs, cross-check"),
    ],
)
def test_a_wrong_table(right: str, wrong: str, message: str) -> None:
    assert right in TABLE
    with pytest.raises(TravelerError, match=message):
        read_preheat(table_of("preheat.toml", SOURCES + TABLE.replace(right, wrong, 1)))


SERVES = """
[[table.serves]]
grades = ["4140"]
make = "wrought"
role = "governs"
"""


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        ('make = "wrought"', 'make = "rolled"', "make: read 'rolled', expected one of wrought, casting"),
        (
            'role = "governs"',
            'role = "decides"',
            "role: read 'decides', expected one of governs, cross-check",
        ),
        ('make = "wrought"', 'make = "wrought"\nwhy = "x"', "unknown key 'why'"),
    ],
)
def test_a_table_bound_to_grades(right: str, wrong: str, message: str) -> None:
    text = SOURCES + TABLE.replace("[roles", SERVES + "[roles", 1)
    tables, _, _ = read_preheat(table_of("preheat.toml", text))
    assert (tables["T"].serves[0].grades, tables["T"].serves[0].reason) == (("4140",), None)
    with pytest.raises(TravelerError, match=message):
        read_preheat(table_of("preheat.toml", text.replace(right, wrong, 1)))


RULE = """
[[table]]
name = "R"
title = "a code"
role = "cross-check"
source = "book"
analogues = { 4130 = "P-4" }
[[table.rows]]
groups = ["P-1"]
up_to = { inch = "1 in" }
carbon_up_to = 0.30
minimum = { inch = "50 F", metric = "10 C" }
kind = "recommended"
"""


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        ('role = "cross-check"', 'role = "law"', "table R, role: read 'law'"),
        ("carbon_up_to = 0.30", "carbon_upto = 0.30", "unknown key 'carbon_upto'"),
        ('kind = "recommended"', "", "rows 0: kind is missing"),
        ('inch = "50 F"', 'inch = "50 in"', "minimum, inch: "),
    ],
)
def test_a_rule_table(right: str, wrong: str, message: str) -> None:
    rule = read_rule_tables(table_of("rules.toml", SOURCES + RULE))["R"]
    assert (rule.analogues, rule.rows[0].groups) == ({"4130": "P-4"}, ("P-1",))
    with pytest.raises(TravelerError, match=message):
        read_rule_tables(table_of("rules.toml", SOURCES + RULE.replace(right, wrong, 1)))


def test_a_filler_may_only_name_a_limit_that_exists() -> None:
    filler = '[[filler]]\nname = "E1"\nkind = "nickel"\ninterpass = "interpass tin"\nsource = "book"\n'
    text = SOURCES + filler
    with pytest.raises(TravelerError, match="interpass: read 'interpass tin', expected a limit of limits"):
        read_fillers(table_of("fillers.toml", text), {})


def test_a_profile_needs_its_hold() -> None:
    text = SOURCES + '[[profile]]\nname = "P"\nsource = "book"\n'
    with pytest.raises(TravelerError, match="profile P: hold is missing"):
        read_profiles(table_of("profiles.toml", text))


def test_every_data_file_is_in_the_package() -> None:
    for name in (
        "asked",
        "cautions",
        "coating",
        "condition_hardness",
        "fillers",
        "limits",
        "preheat",
        "processes",
        "profiles",
        "steels",
        "waiting",
    ):
        assert read_data(f"{name}.toml").place == f"{name}.toml"
