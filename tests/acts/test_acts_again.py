"""A part made again: its sheet from the old job, and the new job that says where it comes from."""

import json
import re
from fractions import Fraction

import pytest
from acts_kit import ADA, NUMBER, Bench, issued_copy, sheet

from traveler.acts.again import compare_with_job, make_again
from traveler.acts.change import load_job
from traveler.acts.issue import close, issue, plan_sheet, revise
from traveler.acts.look import export, exported_object, look
from traveler.acts.verify import verify
from traveler.errors import BadInput, BadSheet, TravelerError
from traveler.job.again import Asked
from traveler.job.sheet_toml import parse_toml

EXTRAS = """
[[dimension]]
id = "D1"
title = "hole to edge"
nominal = "38.0 mm"
tolerance = "0.3 mm"

[[dimension]]
id = "D2"
title = "jig stop to datum"
nominal = "2 in"
tolerance = "ISO 2768-m"
"""
RAW = (
    sheet()
    .replace(b'hydrogen = "H5"', b'hydrogen = "H5"\nlot = "lot 7"')
    .replace(
        b"restraint =",
        b'preheat = { at_least = "310 F", by = "Ada Lund", because = "a coupon" }\nrestraint =',
    )
    + EXTRAS.encode()
)


@pytest.fixture
def bench(tmp_path):
    yield from issued_copy(tmp_path / "shop.traveler", RAW)


def build(bench: Bench, hole: str = "38.12 mm", stop: str = "2.002 in") -> None:
    """The whole job; the hole is measured twice, the second time as ``hole``."""
    bench.through_preheat()
    bench.through_weld()
    bench.record(30, "cooling after welding", "slow cooled under cover")
    bench.record(30, "uncovering temperature", "120 F")
    bench.perform(30)
    assert bench.accept(30).recorded
    bench.clock.pass_by(49 * 60)
    for quantity, value in (
        ("wait before test", "49 h"),
        ("visual result", "accepted"),
        ("crack test", "no relevant indications"),
        ("dimension D1", "38.05 mm"),
        ("dimension D1", hole),
        ("dimension D2", stop),
    ):
        bench.record(40, quantity, value)
    bench.perform(40)
    assert bench.accept(40).recorded
    assert close(bench.shop, bench.clock, ADA, NUMBER).recorded


def tables(made):
    return parse_toml(made.text)


def test_what_belonged_to_the_old_heat_is_left_out_and_asked_for(bench):
    build(bench)
    made = make_again(bench.shop, NUMBER, Asked("A-102"))
    old, new = parse_toml(RAW.decode()), tables(made)
    assert new["job"] == {**old["job"], "number": "A-102", "made_from": NUMBER}
    gone = {"heat_number", "certificate", "composition"}
    assert new["material"][0] == {k: v for k, v in old["material"][0].items() if k not in gone}
    assert new["filler"][0] == {k: v for k, v in old["filler"][0].items() if k != "lot"}
    assert (new["joint"], new["step"]) == (old["joint"], old["step"])
    assert made.to_do[:2] == (
        "material tab: give heat number, certificate, composition",
        "filler rod: give lot",
    )
    assert made.to_do[2].startswith("joint J1: preheat: Ada Lund answered for 310 F in A-101")
    for remark in ('heat_number =    # A-101 had "Q4471"', 'lot =    # A-101 had "lot 7"'):
        assert f"# {remark}\n" in made.text
    head = load_job(bench.shop, NUMBER).head
    assert made.text.startswith(f"# Made again from job A-101, revision 1, closed, code {head}.\n")
    assert plan_sheet(made.text.encode()).number == "A-102"


def test_the_same_heat_stays_where_it_is_said(bench):
    made = make_again(bench.shop, NUMBER, Asked("A-102", same_heat=("tab", "rod")))
    old, new = parse_toml(RAW.decode()), tables(made)
    assert (new["material"], new["filler"]) == (old["material"], old["filler"])


def test_dimensions_come_as_they_were_measured_last(bench):
    build(bench)
    first, second = tables(make_again(bench.shop, NUMBER, Asked("A-102")))["dimension"]
    assert (first["nominal"], first["tolerance"]) == ("38.0 mm", "0.3 mm")
    assert first["as_built"] == "38.12 mm at the inspection of A-101"
    assert second["as_built"] == "2.002 in at the inspection of A-101"
    raw = make_again(bench.shop, NUMBER, Asked("A-102", as_built=("D2",))).text.encode()
    limits = {r.quantity: r for s in plan_sheet(raw).steps for r in s.requirements if s.kind == "inspect"}
    assert limits["dimension D1"].at_least.text == "37.7"
    # ISO 2768-m allows 0.3 mm on 2 in (over 30 up to 120 mm).
    low, high = limits["dimension D2"].at_least.canonical, limits["dimension D2"].at_most.canonical
    assert (low + high) / 2 == Fraction("2.002") * Fraction("25.4")
    assert high - low == Fraction("0.6")
    assert "taken as nominal; the sheet before had 2 in" in limits["dimension D2"].why


def test_what_was_not_accepted_is_no_setting(bench):
    bench.record(40, "dimension D1", "38.12 mm")
    made = make_again(bench.shop, NUMBER, Asked("A-102"))
    assert "as_built" not in tables(made)["dimension"][0]
    with pytest.raises(BadInput, match="was not measured at an inspection that is accepted; expected none"):
        make_again(bench.shop, NUMBER, Asked("A-102", as_built=("D1",)))


@pytest.mark.parametrize(
    ("asked", "error", "told"),
    [
        (
            Asked("A-102", same_heat=("tub",)),
            BadInput,
            'no material or filler "tub"; expected one of tab, rod',
        ),
        (Asked("A-102", as_built=("D9",)), BadInput, 'no dimension "D9"; expected one of D1, D2'),
        (Asked(NUMBER), TravelerError, "in this shop already"),
        (Asked("a/b"), BadSheet, "job.number: read"),
        (Asked(""), BadSheet, "job.number: read empty text"),
    ],
)
def test_what_cannot_be(bench, asked, error, told):
    with pytest.raises(error, match=re.escape(told)):
        make_again(bench.shop, NUMBER, asked)


def test_a_job_that_the_shop_lacks(bench):
    with pytest.raises(TravelerError, match='there is no job "A-999"'):
        make_again(bench.shop, "A-999", Asked("A-102"))
    with pytest.raises(TravelerError, match='there is no job "A-999"'):
        compare_with_job(bench.shop, "A-999", RAW)


def test_the_new_job_keeps_where_it_comes_from(bench, tmp_path):
    build(bench)
    head = load_job(bench.shop, NUMBER).head
    raw = make_again(bench.shop, NUMBER, Asked("A-102")).text.encode()
    assert issue(bench.shop, bench.clock, ADA, raw).recorded
    origin = {"job": NUMBER, "revision": 1, "code": head}
    assert look(bench.shop, bench.clock, "A-102")["made_from"] == origin
    event = json.loads(bench.shop.events("job A-102")[0].body)
    assert event["act"]["made_from"] == origin
    text = export(bench.shop, "A-102", "text").decode()
    assert f"Made again from: A-101, revision 1, code {head}" in text
    exported = tmp_path / "a-102.json"
    exported.write_bytes(export(bench.shop, "A-102", "json"))
    assert verify(exported).faults == ()
    told = json.loads(exported.read_text(encoding="utf-8"))
    told["traveler"]["made_from"]["code"] = "AAAA-AAAA-AAAA-AAAA"
    exported.write_text(json.dumps(told), encoding="utf-8")
    assert verify(exported).faults


def test_a_revision_keeps_what_it_was_made_from(bench):
    raw = make_again(bench.shop, NUMBER, Asked("A-102")).text.encode()
    issue(bench.shop, bench.clock, ADA, raw)
    before = look(bench.shop, bench.clock, "A-102")["made_from"]
    bench.preheated()
    revise(bench.shop, bench.clock, ADA, "A-102", raw, "the certificate came")
    assert look(bench.shop, bench.clock, "A-102")["made_from"] == before


def test_a_job_that_nobody_knows_here_is_named_and_no_more(bench):
    raw = make_again(bench.shop, NUMBER, Asked("A-102")).text.replace('"A-101"', '"X-1"', 1).encode()
    assert issue(bench.shop, bench.clock, ADA, raw).recorded
    assert look(bench.shop, bench.clock, "A-102")["made_from"] == {
        "job": "X-1",
        "revision": None,
        "code": None,
    }
    assert "Made again from: X-1, which was not in this shop" in export(bench.shop, "A-102", "text").decode()


def test_a_part_is_not_made_from_itself():
    raw = RAW.replace(b'number = "A-101"', b'number = "A-101"\nmade_from = "A-101"', 1)
    with pytest.raises(BadSheet, match=re.escape('job.made_from: read "A-101", the number of this job')):
        plan_sheet(raw)


def test_a_sheet_beside_its_own_job_differs_in_nothing(bench):
    found = compare_with_job(bench.shop, NUMBER, RAW)
    assert (found["stricter"], found["changed"], found["differences"]) == (False, [], [])


def test_a_richer_heat_beside_the_job(bench):
    """The heat of the old job gave 300 F by the ladder; 1/2 in of the next one gives 400 F."""
    raw = RAW.replace(b"1/4 in", b"1/2 in").replace(b"A-101", b"A-102", 1).replace(b"C = 0.30", b"C = 0.33")
    found = compare_with_job(bench.shop, NUMBER, raw)
    assert found["stricter"]
    told = [item["says"] for item in found["differences"] if item["quantity"] == "preheat temperature"]
    assert any(
        "the minimum rises from 310 °F (154.4 °C) to 400 °F (204.4 °C), because the thickness" in t
        for t in told
    )


def test_an_old_event_without_the_key_folds(bench):
    assert exported_object(load_job(bench.shop, NUMBER))["made_from"] is None
    assert "made_from" not in json.loads(bench.shop.events(f"job {NUMBER}")[0].body)["act"]
