"""What a sheet may ask for besides: read exact, refused in words, written back the same, carried into the next part."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plan_kit import COMPOSITION_4130, material, same_grade, sheet

from traveler.errors import BadSheet
from traveler.job.again import Asked, Origin, sheet_again
from traveler.job.compare_inputs import inputs_between
from traveler.job.sheet import Sheet
from traveler.job.sheet_reader import read_sheet
from traveler.job.sheet_rewrite import write_sheet as rewritten
from traveler.job.sheet_toml import parse_toml
from traveler.job.sheet_write import write_sheet
from traveler.library.load import load_library

JOB = (
    'checks = ["arc strikes", "marking"]\nstraightening = "hot"\n'
    'coating = { process = "zinc electroplated", hardness = "35 HRC" }\n'
)
JOINT = (
    'repair = { of = "crack", before = 1, at_most = 2 }\n'
    'procedure = { id = "WPS-12", revision = "B", preheat_tested = "300 F", interpass_tested = "450 F", '
    'thickness_from = "3 mm", thickness_to = "1/2 in", gas = "argon", purge = "none", governs = true }\n'
)
HARDNESS = 'hardness = { at_least = "156 HB", at_most = "229 HB" }\n'


def text(job: str = JOB, joint: str = JOINT, extra: str = HARDNESS, steps: str = "") -> str:
    metal = material("a", composition=COMPOSITION_4130, extra=extra)
    members = ("a", "plate", "1/4 in"), ("a", "plate", "1/4 in")
    return sheet(*members, materials=metal, job=job, joint=joint) + steps


def read(written: str) -> Sheet:
    return read_sheet(written, load_library())


def test_everything_arrives_as_typed() -> None:
    found = read(text())
    assert found.checks == ("marking", "arc strikes")
    assert found.straightening == "hot"
    assert found.coating is not None
    assert (found.coating.process, found.coating.strength) == ("zinc electroplated", None)
    low, high = found.materials[0].hardness or (None, None)
    assert low is not None
    assert high is not None
    assert (low.text, high.text, high.unit.symbol) == ("156", "229", "HB")
    (joint,) = found.joints
    assert joint.repair is not None
    assert (joint.repair.of, joint.repair.before, joint.repair.at_most) == ("crack", 1, 2)
    procedure = joint.procedure
    assert procedure is not None
    assert (procedure.name, procedure.gas, procedure.governs) == ("WPS-12 revision B", "argon", True)
    assert procedure.thickness_to is not None
    assert procedure.thickness_to.text == "1/2"


def test_left_out_nothing_is_asked() -> None:
    found = read(same_grade("1/4 in"))
    assert (found.checks, found.straightening, found.coating) == ((), None, None)
    assert (found.joints[0].repair, found.joints[0].procedure, found.materials[0].hardness) == (
        None,
        None,
        None,
    )


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ({"job": 'checks = "marking"'}, 'job.checks: read "marking"; expected a list of checks'),
        ({"job": 'checks = ["wall"]'}, 'job.checks[0]: read "wall"; expected one of "marking"'),
        ({"job": 'checks = ["marking", "marking"]'}, "job.checks[1]: read"),
        ({"job": 'straightening = "warm"'}, 'job.straightening: read "warm"; expected one of "not allowed"'),
        ({"job": 'coating = "zinc"'}, 'job.coating: read "zinc"; expected a table such as'),
        ({"job": "coating = {}"}, "job.coating.process: missing"),
        ({"job": 'coating = { process = "gold" }'}, 'job.coating.process: read "gold"; expected one of'),
        (
            {"job": 'coating = { process = "painted", strength = "1100 MPa", hardness = "35 HRC" }'},
            "job.coating.hardness: read it beside strength; expected one or the other",
        ),
        (
            {"job": 'coating = { process = "painted", strength = "1100" }'},
            "job.coating.strength: read",
        ),
        (
            {"job": 'coating = { process = "painted", strength = "1100 F" }'},
            "expected a strength such as 1100 MPa",
        ),
        ({"joint": 'repair = "crack"\n'}, 'joint[0].repair: read "crack"; expected a table such as'),
        ({"joint": 'repair = { of = "bend" }\n'}, 'joint[0].repair.of: read "bend"; expected one of "crack"'),
        ({"joint": 'repair = { of = "crack", before = -1 }\n'}, "joint[0].repair.before: read"),
        ({"joint": 'repair = { of = "crack", at_most = "2" }\n'}, "joint[0].repair.at_most: read"),
        ({"joint": 'procedure = "WPS"\n'}, 'joint[0].procedure: read "WPS"; expected a table such as'),
        ({"joint": 'procedure = { revision = "B" }\n'}, "joint[0].procedure.id: missing"),
        (
            {"joint": 'procedure = { id = "W", preheat_tested = "300 F", interpass_tested = "250 F" }\n'},
            "joint[0].procedure.interpass_tested: read 250 °F; expected at least the preheat, 300 °F",
        ),
        (
            {"joint": 'procedure = { id = "W", preheat_tested = "1200 C" }\n'},
            "joint[0].procedure.preheat_tested: read 1200 °C; expected the temperature of the test piece",
        ),
        (
            {"joint": 'procedure = { id = "W", thickness_from = "1/2 in", thickness_to = "6 mm" }\n'},
            "joint[0].procedure.thickness_to: read 6 mm",
        ),
        (
            {"joint": 'procedure = { id = "W", governs = true }\n'},
            "joint[0].procedure.governs: read it without interpass_tested",
        ),
        ({"joint": 'procedure = { id = "W", preheat = "300 F" }\n'}, "joint[0].procedure.preheat: read an unknown"),
        ({"extra": "hardness = {}\n"}, "material[0].hardness: read an empty table"),
        (
            {"extra": 'hardness = { at_least = "20 HRC", at_most = "229 HB" }\n'},
            "material[0].hardness.at_most: read 229 HB beside 20 HRC; expected both bounds in one scale",
        ),
        (
            {"extra": 'hardness = { at_least = "230 HB", at_most = "229 HB" }\n'},
            "material[0].hardness.at_most: read 229 HB; expected at least the lower bound",
        ),
        (
            {"steps": '\n[[step]]\nnumber = 10\nkind = "cut"\ntask = "coating"\n'},
            'step[0].task: read "coating" for the kind "cut"; expected it only with the kind "other"',
        ),
        (
            {"steps": '\n[[step]]\nnumber = 10\nkind = "other"\ntask = "polish"\n'},
            'step[0].task: read "polish"; expected one of "coating"',
        ),
    ],
)  # fmt: skip
def test_each_fault_names_its_place_and_what_would_do(parts: dict[str, str], expected: str) -> None:
    with pytest.raises(BadSheet) as caught:
        read(text(**parts))
    (fault,) = caught.value.faults
    assert expected in fault


def test_written_out_again_it_is_the_same_sheet() -> None:
    tables = parse_toml(text())
    again = rewritten(tables)
    assert parse_toml(again) == tables
    first, second = read(text()), read(again)
    assert (first.checks, first.coating, first.joints, first.materials) == (
        second.checks,
        second.coating,
        second.joints,
        second.materials,
    )


PAGES = {
    "job.number": "N-1",
    "job.title": "Bracket, invented",
    "job.units": "inch",
    "job.decides": "engineer",
}


@given(st.lists(st.sampled_from(["marking", "thickness", "arc strikes"]), unique=True, min_size=1))
def test_the_pages_write_the_list_that_was_typed(checks: list[str]) -> None:
    for typed in (", ".join(checks), ",".join(checks), " , ".join(checks) + ","):
        job = parse_toml(write_sheet({**PAGES, "job.checks": typed, "job.straightening": "cold"}))["job"]
        assert (job["checks"], job["straightening"]) == (checks, "cold")


def test_the_next_part_takes_the_procedure_and_not_the_crack() -> None:
    made = sheet_again(text(), Origin("T-1", 1, "closed", "AAAA"), Asked("N-1"), {})
    found = read(made.text)
    (joint,) = found.joints
    assert joint.repair is None
    assert joint.procedure == read(text()).joints[0].procedure
    assert found.checks == ("marking", "arc strikes")
    assert found.coating == read(text()).coating
    told = " / ".join(made.to_do)
    assert "repair" in told
    assert "35 HRC" in told
    assert '# repair: { of = "crack", before = 1, at_most = 2 } was of the part of T-1' in made.text


def test_two_sheets_beside_each_other_name_what_differs() -> None:
    old = parse_toml(text(job=JOB, joint=""))
    new = parse_toml(text(job=JOB.replace("35 HRC", "40 HRC"), joint=JOINT))
    said = [found.words for found in inputs_between(old, new)]
    assert any("coating" in words and "40 HRC" in words for words in said)
    assert any("procedure of J1" in words and "WPS-12" in words for words in said)
    assert any("repair of J1" in words for words in said)
