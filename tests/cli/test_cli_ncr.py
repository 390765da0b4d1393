"""Nonconformances by command, from opening to closing, and what is said not to apply."""

import os
from datetime import date, timedelta
from pathlib import Path

import pytest
from chart_files import STEEP, elapsed, written
from cli_kit import Commands, refused

PREHEAT = "preheat temperature"
SECRET = "looks 9 times"


@pytest.fixture
def cold(issued: Commands) -> Commands:
    """A preheat that was too cold at one place, signed as performed by Wim."""
    step = preheat_step(issued)
    issued("record", "B-101", step, PREHEAT, "285 F", "--place", "web", "--by", "Wim")
    issued("record", "B-101", step, PREHEAT, "320 F", "--place", "flange", "--by", "Wim")
    issued("sign", "B-101", step, "--as", "performed", "--by", "Wim")
    return issued


def preheat_step(traveler: Commands) -> int:
    steps = traveler("show", "B-101", "--json").json["steps"]
    return int(next(step["number"] for step in steps if step["kind"] == "preheat"))


def test_a_nonconformance_goes_its_way(cold: Commands) -> None:
    step = preheat_step(cold)
    opened = cold(
        "ncr", "open", "B-101", step, "--what", "web too cold", "--quantity", PREHEAT, "--by", "Wim"
    )
    assert (opened.status, opened.out) == (
        0, f"nonconformance 1 is open at step {step}: web too cold\n  about reading 1\n",
    )  # fmt: skip
    proposed = cold(
        "ncr", "propose", "B-101", 1, "use as is", "--instruction", "one place, 15 F", "--by", "Ines"
    )
    assert (proposed.status, proposed.out) == (0, "nonconformance 1: to use it as is is proposed\n")
    own = cold("ncr", "approve", "B-101", 1, "--by", "Ines")
    assert own.status == 1
    assert "Ines proposed to use it as is; another person must approve it" in own.out
    assert cold("ncr", "approve", "B-101", 1, "--because", "calculated", "--by", "Eva").status == 0
    assert cold("ncr", "close", "B-101", 1, "--by", "Ines").out == (
        "nonconformance 1: closed: what was approved is done\n"
    )
    (entry,) = cold("ncr", "list", "B-101", "--json").json
    assert (entry["state"], entry["disposition"], entry["readings"]) == ("closed", "use as is", [1])
    text = cold("ncr", "list", "B-101").out
    assert f"Nonconformance 1, step {step}, {PREHEAT}, reading 1: closed, use as is" in " ".join(text.split())
    for word in (
        "Found: web too cold; Wim",
        "Proposed: use as is, one place, 15 F; Ines",
        "Approved:",
        "Closed:",
    ):
        assert word in text
    shown = cold("show", "B-101").out
    assert "NONCONFORMANCES" in shown
    assert "Verdict: not met: reading 1: 285 °F is below 300 °F; let stand by" in " ".join(shown.split())
    assert "let stand by nonconformance 1" in " ".join(shown.split())


def test_rework_says_what_it_opens_and_is_looked_at_again(cold: Commands) -> None:
    step = preheat_step(cold)
    cold("ncr", "open", "B-101", step, "--what", "cold", "--reading", 1, "--by", "Wim")
    cold("ncr", "propose", "B-101", 1, "rework", "--instruction", "heat it again", "--by", "Ines")
    approved = cold("ncr", "approve", "B-101", 1, "--by", "Ines")
    assert "attempt 2 of preheat temperature of J1 is open" in approved.out
    early = cold("ncr", "close", "B-101", 1, "--by", "Ines")
    assert (early.status, "looked at again first" in early.out) == (1, True)
    cold("sign", "B-101", step, "--as", "performed", "--by", "Wim")
    again = ("ncr", "reverify", "B-101", 1, "--what", "contact probe")
    assert cold(*again, "--result", "does not comply", "--by", "Ines").status == 1
    cold("ncr", "propose", "B-101", 1, "rework", "--instruction", "once more", "--by", "Ines")
    cold("ncr", "approve", "B-101", 1, "--by", "Ines")
    cold("sign", "B-101", step, "--as", "performed", "--by", "Wim")
    assert cold(*again, "--result", "complies", "--by", "Ines").status == 0
    assert cold("ncr", "close", "B-101", 1, "--by", "Ines").status == 0


def test_refused_and_void(cold: Commands) -> None:
    step = preheat_step(cold)
    cold("ncr", "open", "B-101", step, "--what", "cold", "--by", "Wim")
    cold("ncr", "propose", "B-101", 1, "regrade", "--instruction", "practice only", "--by", "Wim")
    assert cold("ncr", "refuse", "B-101", 1, "--because", "it races", "--by", "Eva").status == 0
    assert cold("ncr", "void", "B-101", 1, "--because", "the probe was off", "--by", "Ines").status == 0
    assert cold("ncr", "list", "B-101", "--json").json[0]["state"] == "void"


def test_what_does_not_apply_is_said_with_its_reason(cold: Commands) -> None:
    steps = cold("show", "B-101", "--json").json["steps"]
    step = next(s["number"] for s in steps for r in s["requirements"] if r["quantity"] == "gap")
    said = cold("na", "B-101", step, "gap", "--because", "tacked in a jig", "--by", "Eva")
    assert (said.status, said.out) == (0, f"step {step}: gap does not apply, says Eva\n")
    assert "Not applicable: tacked in a jig; Eva" in cold("show", "B-101").out
    bad = cold("na", "B-101", preheat_step(cold), PREHEAT, "--because", "warm day", "--by", "Eva")
    assert (bad.status, "reading 1 is outside: that takes a nonconformance" in bad.out) == (1, True)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("close", "B-101", 3), "job B-101 has no nonconformance 3; it has: none yet"),
        (("propose", "B-101", 1, "hope", "--instruction", "x"), "'hope' is not one of 'rework'"),
        (("open", "B-101", 999, "--what", "x"), "job B-101 has no step 999"),
        (("open", "B-101", 10, "--what", "  "), "what was found is missing"),
    ],
)
def test_what_cannot_be_done_says_so(issued: Commands, arguments: tuple[object, ...], said: str) -> None:
    assert said in refused(issued("ncr", *arguments, "--by", "Ines"))


def test_a_job_without_any_says_so(issued: Commands) -> None:
    assert issued("ncr", "list", "B-101").out == "No nonconformances.\n"


def with_secret(traveler: Commands, *arguments: object) -> tuple[int, str]:
    """The command with its secret on a descriptor."""
    reading, writing = os.pipe()
    try:
        os.write(writing, f"{SECRET}\n".encode())
        os.close(writing)
        answer = traveler(*arguments, "--secret-fd", reading)
    finally:
        os.close(reading)
    return answer.status, answer.out + answer.err


@pytest.mark.slow
def test_a_script_signs_what_it_was_shown(cold: Commands) -> None:
    """Once anybody has a secret: the content of the step and a descriptor; nothing by the arguments."""
    assert with_secret(cold, "person", "add", "Ines Okafor", "--role", "inspector")[0] == 0
    step = preheat_step(cold)
    opening = ("ncr", "open", "B-101", step, "--what", "cold", "--quantity", PREHEAT)
    status, said = with_secret(cold, *opening, "--by", "Ines Okafor")
    assert (status, "give the content of show --json with --content" in said) == (2, True)
    assert "not in the register" in cold(*opening, "--by", "Wim").out
    found = next(s for s in cold("show", "B-101", "--json").json["steps"] if s["number"] == step)
    status, said = with_secret(cold, *opening, "--by", "P1", "--content", found["content"])
    assert (status, "nonconformance 1 is open" in said) == (0, True)
    by = cold("ncr", "list", "B-101", "--json").json[0]["by"]
    assert by == {"name": "Ines Okafor", "how": "signed", "person": "P1", "roles": ["owner", "inspector"]}
    assert "Ines Okafor (P1, signed)" in " ".join(cold("ncr", "list", "B-101").out.split())


def test_a_stress_relief_that_failed_by_its_chart_is_done_again_by_another(
    issued: Commands, tmp_path: Path
) -> None:
    """After rework the second chart counts, and the first one stays and prints; its recorder is in the register."""
    issued("instrument", "add", "furnace recorder", "--type", "recorder", "--uncertainty", "1 C")
    days = ("--on", date.today() - timedelta(days=9), "--due", date.today() + timedelta(days=9))
    issued("instrument", "calibrated", "I1", *days, "--certificate", "C-3")
    step = next(
        s["number"] for s in issued("show", "B-101", "--json").json["steps"] if s["kind"] == "stress relief"
    )
    bad, good = written(tmp_path, elapsed(STEEP), "first.csv"), written(tmp_path, elapsed(), "second.csv")
    attach = ("--as", "chart", "--instrument", "furnace recorder", "--by", "Wim")
    failed = issued("attach", "B-101", step, bad, *attach)
    assert (failed.status, "heating rate not met" in failed.out) == (1, True)
    named = ("--what", "heated too fast", "--quantity", "heating rate")
    opened = issued("ncr", "open", "B-101", step, *named, "--by", "Ines")
    assert "about reading" in opened.out
    issued(
        "ncr", "propose", "B-101", 1, "rework", "--instruction", "relieve it again, slower", "--by", "Ines"
    )
    assert "attempt 2 of heating rate" in issued("ncr", "approve", "B-101", 1, "--by", "Eva").out
    again = issued("attach", "B-101", step, good, *attach)
    assert again.out.startswith(f"chart 2 (second.csv) recorded with step {step}: met\n")
    found = next(s for s in issued("show", "B-101", "--json").json["steps"] if s["number"] == step)
    (rate,) = [r for r in found["requirements"] if r["quantity"] == "heating rate"]
    assert rate["verdict"] == "met"
    assert [(r["attempt"], r["verdict"], r["instrument"]) for r in rate["readings"]] == [
        (1, "not met", "chart 1, furnace recorder"), (2, "met", "chart 2, furnace recorder"),
    ]  # fmt: skip
    assert [reason for reason in found["blocked_by"] if "heating rate" in reason] == []
    shown = " ".join(issued("show", "B-101").out.split())
    assert "chart 2, I1 furnace recorder (due" in shown
    issued("instrument", "out", "I1", "--finding", "reads 8 C high")
    assert "is in question" in issued("show", "B-101").out


def test_those_of_all_jobs_stand_open_first(cold: Commands, tmp_path: Path) -> None:
    from cli_kit import SHEET

    assert cold("ncr", "list").out == "No nonconformances.\n"
    other = tmp_path / "other.toml"
    other.write_text(SHEET.replace("B-101", "B-102"), encoding="utf-8")
    cold("new", other)
    step = preheat_step(cold)
    for job, what in (("B-102", "misread"), ("B-101", "web too cold")):
        cold("ncr", "open", job, step, "--what", what, "--by", "Wim")
    cold("ncr", "open", "B-102", step, "--what", "scratch", "--by", "Wim")
    cold("ncr", "void", "B-102", 1, "--because", "was another part", "--by", "Wim")
    found = cold("ncr", "list", "--json").json
    assert [(entry["job"], entry["nonconformance"], entry["state"]) for entry in found][-1] == (
        "B-102",
        1,
        "void",
    )
    assert {(entry["job"], entry["what"]) for entry in found[:2]} == {
        ("B-101", "web too cold"),
        ("B-102", "scratch"),
    }
    text = cold("ncr", "list").out
    assert "JOB B-102, " in text
    assert "Nonconformance 2, step" in text
    assert cold("ncr", "list", "B-101", "--json").json[0]["what"] == "web too cold"
