"""Work at a vendor by command: listed, sent, received, reviewed, called off."""

import json
from pathlib import Path

import pytest
from chart_files import elapsed, written
from cli_kit import SHEET, Commands, refused

STEPS = """
[[step]]
number = 10
kind = "cut"
outside = { vendor = "Kestrel Laser [A36]", order = "K-101" }

[[step]]
number = 20
kind = "stress relief"
"""
SENT = ("outside", "send", "B-101", 10, "--by", "Wim")
BACK = ("outside", "receive", "B-101", 10, "--condition", "clean", "--heat-number", "legible", "--by", "Wim")
ACCEPTED = (
    "outside", "review", "B-101", 10, "--result", "accepted", "--held", "heat number", "--by", "Ines"
)  # fmt: skip


@pytest.fixture
def given(traveler: Commands, sheet: Path) -> Commands:
    """Commands on a shop whose job has its cutting done by a vendor."""
    sheet.write_text(SHEET + STEPS, encoding="utf-8")
    traveler("new", sheet)
    return traveler


@pytest.fixture
def certificate(tmp_path: Path) -> Path:
    path = tmp_path / "kestrel.pdf"
    path.write_bytes(b"heat K-2210, invented")
    return path


def test_the_plan_says_who_does_the_work_and_what_comes_back(given: Commands, sheet: Path) -> None:
    text = " ".join(given("plan", sheet).out.split())
    wanted = "Done by a vendor: Kestrel Laser [A36], order K-101; papers that come back: heat number transfer"
    assert wanted in text
    step = given("plan", sheet, "--json").json["steps"][0]
    assert step["outside"]["returns"] == ["heat number transfer", "cutting process"]


def test_from_sent_to_accepted(given: Commands, certificate: Path) -> None:
    sent = given(*SENT, "--pieces", 2, "--expected", "2099-12-01", "--requirement", "drawing 7 rev C")
    assert (sent.status, sent.out.splitlines()[0][:56]) == (
        0,
        "step 10: 2 pieces sent to Kestrel Laser [A36]; it asks f",
    )
    (row,) = given("list", "--json").json
    assert (row["needs"], row["due"]) == ("time", "return of step 10 by Kestrel Laser [A36]")
    assert row["due_at"].startswith("2099-12-01T00:00")
    waits = given("sign", "B-101", 10, "--as", "accepted", "--by", "Ines")
    assert waits.status == 1
    assert "at Kestrel Laser [A36] since" in waits.out
    assert given(*BACK).status == 0
    for piece in ("bracket", "plate"):
        given(
            "record", "B-101", 10, f"cut edge of {piece}", "cut cold (saw, shear, machined)", "--from-vendor"
        )
    assert given("sign", "B-101", 10, "--as", "performed", "--by", "Wim").status == 0
    assert "no file came with it" in given(*ACCEPTED).out
    assert given("attach", "B-101", 10, certificate, "--as", "certificate").status == 0
    refused_by = given(*ACCEPTED[:-1], "Wim")
    assert refused_by.status == 1
    assert "Wim performed this step; another person must review the certificate" in refused_by.out
    reviewed = given(*ACCEPTED)
    assert (reviewed.status, reviewed.out.splitlines()[0]) == (
        0,
        "step 10: the certificate of Kestrel Laser [A36] is accepted",
    )
    assert given("sign", "B-101", 10, "--as", "accepted", "--by", "Ines").status == 0
    (listed,) = given("outside", "list", "B-101", "--json").json
    assert (listed["step"], listed["state"], listed["back"]) == (10, "accepted", 2)
    text = " ".join(given("outside", "list", "B-101").out.split())
    assert "Sent to Kestrel Laser [A36], order K-101: back, its certificate accepted" in text
    assert "under revision 1 of the traveler with drawing 7 rev C" in text


def test_every_export_tells_of_it_and_verifies(given: Commands, certificate: Path, tmp_path: Path) -> None:
    given(*SENT)
    given(*BACK)
    given("attach", "B-101", 10, certificate, "--as", "certificate")
    given(*ACCEPTED, "--because", "one [sic] page is missing")
    for form in ("text", "markdown"):
        text = " ".join(given("export", "B-101", "--format", form, "-o", "-").out.split()).replace("\\", "")
        assert "Received: 1 piece; condition: clean; heat number legible; Wim" in text
        assert "accepted by Ines with the remark: one [sic] page is missing" in text
    path = tmp_path / "job.json"
    given("export", "B-101", "--format", "json", "-o", path)
    assert given("verify", path).status == 0
    told = json.loads(path.read_text(encoding="utf-8"))
    told["traveler"]["steps"][0]["sendings"][0]["back"] = 2
    path.write_text(json.dumps(told), encoding="utf-8")
    assert given("verify", path).status == 1


def test_what_came_back_otherwise_is_status_1_and_recorded(given: Commands) -> None:
    given(*SENT, "--pieces", 3)
    answer = given(*BACK[:-2], "--pieces", 2, "--damage", "one edge bent", "--by", "Wim")
    assert answer.status == 1
    assert "2 of 3 pieces are back from Kestrel Laser [A36]" in answer.out
    assert "damaged when it came back from Kestrel Laser [A36]: one edge bent" in answer.out
    opened = given(
        "ncr", "open", "B-101", 10, "--what", "short", "--quantity", "outside work", "--by", "Ines"
    )
    assert opened.status == 0


def test_a_certificate_that_is_not_accepted_is_status_1(given: Commands) -> None:
    given(*SENT)
    given(*BACK)
    no = (*ACCEPTED[:4], "--result", "not accepted", "--held", "nothing came", "--by", "Ines")
    assert "--because is missing: say why the certificate is not accepted" in refused(given(*no))
    answer = given(*no, "--because", "no paper came", "--missing", "heat number transfer")
    assert answer.status == 1
    assert "the certificate of Kestrel Laser [A36] is not accepted" in answer.out
    blocked = given("show", "B-101", "--json").json["steps"][0]["blocked_by"]
    assert any("not accepted: no paper came" in reason for reason in blocked)


def test_a_step_that_nobody_planned_to_send_goes_out_and_is_called_off(given: Commands) -> None:
    assert "the sheet names no vendor for step 20" in refused(
        given("outside", "send", "B-101", 20, "--by", "Wim")
    )
    assert given("outside", "send", "B-101", 20, "--vendor", "Alder", "--by", "Wim").status == 0
    off = given("outside", "call-off", "B-101", 20, "--because", "their furnace broke down", "--by", "Wim")
    assert (off.status, off.out.splitlines()[0]) == (
        0, "step 20: the sending is called off: their furnace broke down",
    )  # fmt: skip
    assert given("outside", "call-off", "B-101", 20, "--because", "again", "--by", "Wim").status == 1


def test_a_vendors_chart_gives_readings_that_are_the_vendors(given: Commands, tmp_path: Path) -> None:
    chart = written(tmp_path, elapsed())
    asked = ("attach", "B-101", 20, chart, "--as", "chart", "--from-vendor")
    assert "step 20 was not sent to a vendor" in refused(given(*asked))
    given("outside", "send", "B-101", 20, "--vendor", "Alder", "--by", "Wim")
    given(*asked)
    step = given("show", "B-101", "--json").json["steps"][1]
    assert {r["reported_by"] for need in step["requirements"] for r in need["readings"]} == {"Alder"}
    csv = given("export", "B-101", "--format", "csv", "-o", "-").out
    assert "chart 1; reported by Alder" in csv
    kept = ("attach", "B-101", 20, chart, "--as", "photo", "--from-vendor")
    assert "--from-vendor belongs to --as chart; leave it out" in refused(given(*kept))


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("send", "B-101", 7), "job B-101 has no step 7"),
        (("send", "B-1", 10), 'there is no job "B-1" in this shop'),
        (("send", "B-101", 10, "--expected", "soon"), 'it is expected on: "soon" is no day'),
        (("send", "B-101", 10, "--pieces", 0), "0 is no number of pieces"),
        (("send", "B-101", 10, "--at", "noon"), '"noon" is no time'),
        (("receive", "B-101", 10, "--heat-number", "legible"), "missing option '--condition'"),
        (("receive", "B-101", 10, "--condition", "x", "--heat-number", "gone"), "invalid value for '--heat-number'"),
        (("review", "B-101", 10, "--result", "accepted"), "missing option '--held'"),
        (("call-off", "B-101", 10), "missing option '--because'"),
    ],
)  # fmt: skip
def test_what_cannot_be_done_says_so(given: Commands, arguments: tuple[object, ...], said: str) -> None:
    assert said in refused(given("outside", *arguments, "--by", "Wim"))


def test_a_negative_value_is_one_behind_the_flag_too(given: Commands) -> None:
    answer = given("record", "B-101", 20, "soak temperature", "--from-vendor", "-5 C")
    assert "step 20 was not sent to a vendor" in answer.err


def test_a_job_without_vendors_says_so(issued: Commands) -> None:
    assert issued("outside", "list", "B-101").out == "No work of this job is given to a vendor.\n"
    assert issued("outside", "list", "B-101", "--json").json == []
