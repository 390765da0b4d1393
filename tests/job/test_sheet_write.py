"""Writing a sheet: what goes in comes out of TOML, and what the reader refuses it refuses at the place entered."""

import tomllib
import unicodedata
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from traveler.errors import BadSheet
from traveler.job.sheet_pages import (
    another,
    faults_by_page,
    pages_of,
    proposed_number,
    renamed,
    without,
)
from traveler.job.sheet_reader import read_sheet
from traveler.job.sheet_write import toml_text, write_sheet
from traveler.library.load import load_library

WHOLE = {
    "job.number": "N-100",
    "job.title": "Damper bracket, invented",
    "job.units": "inch",
    "job.decides": "welding engineer",
    "job.decision_rule": "guard band",
    "job.self_inspection": "yes",
    "material[0].id": "plate",
    "material[0].grade": "4130",
    "material[0].condition": "quenched and tempered",
    "material[0].tempered_at": "1100 F",
    "material[0].composition": "C 0.30, Si=.27; Mn: 0.51 Mo0.2",
    "material[1].id": "tab",
    "material[1].grade": "S355J2",
    "material[1].condition": "as rolled",
    "filler[0].id": "rod",
    "filler[0].classification": "ER70S-2",
    "joint[0].id": "J1",
    "joint[0].type": "T fillet",
    "joint[0].process": "141",
    "joint[0].filler": "rod",
    "joint[0].arc_energy": "12 V 150 A 90 mm/min",
    "joint[0].member[0].material": "plate",
    "joint[0].member[0].form": "plate",
    "joint[0].member[0].thickness": "1/4 in",
    "joint[0].member[1].material": "tab",
    "joint[0].member[1].form": "tube",
    "joint[0].member[1].thickness": "3 mm",
    "site.temperature": "3 C",
    "site.damp": "yes",
    "dimension[0].id": "D1",
    "dimension[0].title": "hole to edge",
    "dimension[0].nominal": "38.0 mm",
    "dimension[0].tolerance": "ISO 13920-B",
}
TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)


def test_a_whole_sheet_is_read_as_it_was_entered() -> None:
    sheet = read_sheet(write_sheet(WHOLE), load_library())
    assert (sheet.number, sheet.units, sheet.decision_rule) == ("N-100", "inch", "guard band")
    assert sheet.self_inspection
    assert dict(sheet.materials[0].composition) == {
        element: Fraction(percent)
        for element, percent in (("C", "0.30"), ("Si", "0.27"), ("Mn", "0.51"), ("Mo", "0.2"))
    }
    joint = sheet.joints[0]
    assert [(m.material.id, m.form, m.thickness.canonical) for m in joint.members] == [
        ("plate", "plate", Fraction("6.35")),
        ("tab", "tube", 3),
    ]
    assert joint.restraint == "medium"
    assert sheet.site is not None
    assert sheet.site.damp
    assert sheet.dimensions[0].tolerance_rule == "ISO 13920-B"


@given(TEXTS)
def test_any_text_comes_out_of_toml_as_it_went_in(text: str) -> None:
    assert tomllib.loads(f"key = {toml_text(text)}")["key"] == text


@given(st.dictionaries(st.sampled_from(sorted(WHOLE)), TEXTS))
def test_whatever_is_entered_is_toml_and_each_text_stands_at_its_place(changes: dict[str, str]) -> None:
    entered = {**WHOLE, **changes}
    root = tomllib.loads(write_sheet(entered))
    for place in ("job.title", "filler[0].classification", "dimension[0].nominal"):
        name, _, key = place.partition(".")
        table = root[name.removesuffix("[0]")]
        table = table[0] if isinstance(table, list) else table
        assert table.get(key, "") == unicodedata.normalize("NFC", entered[place].strip())
    for index, member in enumerate(root["joint"][0]["member"]):
        kept = entered[f"joint[0].member[{index}].thickness"].strip()
        assert member.get("thickness", "") == unicodedata.normalize("NFC", kept)


@given(st.sampled_from(sorted(WHOLE)), TEXTS)
def test_what_the_reader_refuses_it_refuses_on_the_page_where_it_was_entered(place: str, text: str) -> None:
    page, _, key = place.rpartition(".")
    try:
        read_sheet(write_sheet({**WHOLE, place: text}), load_library())
    except BadSheet as bad:
        found = faults_by_page(bad.faults, WHOLE)
        # An id that changes leaves what named it without it, and a condition the temper that goes with it.
        assert key in [at for at, _ in found.get(page, [])] or key in ("id", "condition", "nominal")


def test_a_decimal_comma_is_never_taken_for_the_end_of_a_number() -> None:
    for typed in ("C 0,30", "C 0,30 Mn 0,51", "C 0.30 C 0.31", "C", "0.30 C", "C 0.3 0.4", "Fe 0.1,Mn 0.2"):
        table = tomllib.loads(write_sheet({"material[0].composition": typed}))["material"][0]
        assert table["composition"] == typed
        assert not isinstance(table["composition"], dict)


def test_pieces_are_a_number_and_their_serials_a_list() -> None:
    job = tomllib.loads(write_sheet({"job.quantity": "02", "job.serials": 'RU-1, "[/]" ,'}))["job"]
    assert job == {"quantity": 2, "serials": ["RU-1", '"[/]"']}
    sheet = read_sheet(write_sheet({**WHOLE, "job.quantity": "2", "job.serials": "A,B"}), load_library())
    assert (sheet.quantity, sheet.serials) == (2, ("A", "B"))
    for typed in ("two", "2.5", "-1", "9" * 30, "٣"):
        assert tomllib.loads(write_sheet({"job.quantity": typed}))["job"]["quantity"] == typed
    with pytest.raises(BadSheet) as bad:
        read_sheet(write_sheet({**WHOLE, "job.quantity": "3", "job.serials": "A, A"}), load_library())
    found = faults_by_page(bad.value.faults, WHOLE)["job"]
    assert [at for at, _ in found] == ["serials", "serials"]


def test_a_flag_is_true_by_yes_alone() -> None:
    for typed, written in (("yes", True), ("no", "no"), ("true", "true"), ("Yes ", "Yes")):
        assert tomllib.loads(write_sheet({"site.damp": typed}))["site"]["damp"] == written
    assert "site" not in tomllib.loads(write_sheet({"site.damp": " "}))


def test_pages_follow_what_is_entered() -> None:
    assert pages_of({}) == (
        "job",
        "material[0]",
        "filler[0]",
        "joint[0]",
        "joint[0].member[0]",
        "joint[0].member[1]",
        "site",
    )
    assert "joint[0].member[1]" not in pages_of({"joint[0].type": "bead on plate"})
    assert pages_of(WHOLE)[-2:] == ("dimension[0]", "site")
    assert another(WHOLE, "material") == "material[2]"
    assert another({}, "joint[0].member") == "joint[0].member[2]"
    assert another({}, "dimension") == "dimension[0]"


def test_what_is_taken_out_leaves_no_gap() -> None:
    more = {**WHOLE, "material[2].id": "third", "joint[1].member[0].form": "bar"}
    left = without(more, "material[1]")
    assert (left["material[1].id"], "material[2].id" in left) == ("third", False)
    assert without(more, "joint[0]")["joint[0].member[0].form"] == "bar"
    assert "joint[1].member[0].form" not in without(more, "joint[0]")
    assert "joint[0].member[1].form" not in without(more, "joint[0].member[0]")


def test_an_id_is_followed_by_what_names_it() -> None:
    changed = renamed(WHOLE, "material[1]", "tab", "ear")
    assert changed["joint[0].member[1].material"] == "ear"
    assert changed["joint[0].member[0].material"] == "plate"
    assert renamed(WHOLE, "filler[0]", "rod", "wire")["joint[0].filler"] == "wire"


def test_the_number_proposed_is_free_and_follows_the_job_worked_on_last() -> None:
    assert proposed_number(["B-207", "H-300", "B-209"]) == "B-210"
    assert proposed_number(["B-009"]) == "B-010"
    assert proposed_number(["26-014 A"]) == "26-015 A"
    assert proposed_number(["Bracket"]) == ""
    assert proposed_number([]) == ""
