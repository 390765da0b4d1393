"""The words and rows of receiving and finishing in the library: complete, sourced, and refused where they are wrong."""

from importlib.resources import files

import pytest

from traveler.errors import TravelerError
from traveler.library.asked import load_asked, read_asked
from traveler.library.coating import load_coating, read_coating
from traveler.library.condition_hardness import load_condition_hardness
from traveler.library.load import load_library
from traveler.library.reading import read_data, table_of

SOURCE = '[source.book]\ntitle = "a book"\nmark = "seen"\n'


def entry(*lines: str) -> str:
    head = 'quantity = "q"\nwhy = "w"\nwhere = ""\nmethod = "m"\nsource = "book"\n'
    return f"{SOURCE}[asked.x]\n{head}" + "\n".join(lines)


def test_every_entry_says_why_and_what_complies() -> None:
    for name, asked in load_asked().items():
        assert asked.why, name
        assert asked.source.mark, name
        if asked.type == "choice":
            assert asked.accepts, name
            assert set(asked.accepts) <= set(asked.options), name
            assert len(set(asked.options)) == len(asked.options), name


def test_every_choice_has_an_honest_answer_that_does_not_comply() -> None:
    """Whoever can only state what complies will state it."""
    for name, asked in load_asked().items():
        if asked.type == "choice" and name != "straightening":  # its options are the sheet's to widen
            assert set(asked.options) - set(asked.accepts), name


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (entry('type = "choice"'), "options with a choice"),
        (entry('type = "number"'), "a unit with a number"),
        (entry('type = "text"', 'unit = "mm"'), "neither with a text"),
        (entry('type = "word"'), "one of number, choice, text"),
        (entry('type = "choice"', 'options = ["a"]', 'accepts = ["b"]'), "some of the options"),
        (entry('type = "text"', 'colour = "red"'), "unknown key 'colour'"),
    ],
)
def test_a_wrong_entry_is_named(text: str, fault: str) -> None:
    with pytest.raises(TravelerError, match=fault):
        read_asked(table_of("asked.toml", text))


def test_the_rows_of_the_bake_must_rise() -> None:
    good = read_data("coating.toml")
    assert read_coating(good) == load_coating()
    text = files("traveler.library").joinpath("data", "coating.toml").read_text(encoding="utf-8")
    with pytest.raises(TravelerError, match="rows that rise"):
        read_coating(table_of("coating.toml", text.replace("hours = 12", "hours = 7")))
    with pytest.raises(TravelerError, match="one of by strength"):
        read_coating(table_of("coating.toml", text.replace('= "none"', '= "perhaps"', 1)))


def test_hardness_of_a_condition_names_grades_that_the_library_has() -> None:
    library = load_library()
    for row in load_condition_hardness():
        assert all(library.steel(grade) is not None for grade in row.grades)
        assert row.source.title


# ASM Metals Handbook as remembered: annealed and normalized bars of 25 mm.
@pytest.mark.parametrize(
    ("grade", "annealed", "normalized"), [("4130", 156, 197), ("4140", 197, 302), ("4340", 217, 363)]
)
def test_hardness_of_the_published_bars(grade: str, annealed: int, normalized: int) -> None:
    found = {row.condition: row.hb for row in load_condition_hardness() if grade in row.grades}
    assert found == {"annealed": annealed, "normalized": normalized}
