"""The demo's data: labelled as invented, and believable to somebody who welds."""

import csv
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

import traveler
from traveler.acts.clock import SystemClock
from traveler.acts.issue import plan_sheet
from traveler.acts.look import look
from traveler.demo.build import build_demo
from traveler.demo.script import happenings, kept_file, sheets
from traveler.job.requirement import Plan, Requirement
from traveler.library.load import load_library
from traveler.record.shop import Shop

SHEETS = sheets()
PACKAGE = Path(traveler.__file__).parent


def table(job: str) -> dict[str, Any]:
    return tomllib.loads(SHEETS[job].decode())


def named_requirement(plan: Plan, kind: str, quantity: str) -> Requirement:
    step = next(step for step in plan.steps if step.kind == kind)
    return next(r for r in step.requirements if r.quantity == quantity)


@pytest.mark.parametrize("job", sorted(SHEETS))
def test_every_sheet_says_that_it_is_invented(job: str) -> None:
    sheet = table(job)
    assert job.startswith("DEMO-")
    assert "invented demo part" in sheet["job"]["part"]
    assert "(demo)" in sheet["job"]["decides"]
    assert SHEETS[job].decode().startswith("# Demo data, all of it invented")
    marks = [item["heat_number"] for item in sheet["material"]] + [item["lot"] for item in sheet["filler"]]
    assert all(mark.startswith("DEMO-") for mark in marks)


def test_every_name_and_every_kept_file_says_demo() -> None:
    every = happenings(SystemClock().now())
    assert {happening.job for happening in every} == set(SHEETS)
    assert all(happening.by.endswith("(demo)") for happening in every)
    kept = [happening.entry["attach"] for happening in every if "attach" in happening.entry]
    assert kept
    for name in kept:
        assert "demo" in name
        assert "invented" in kept_file(name).decode().splitlines()[0].lower()


def test_invented_people_heats_and_lots_stay_in_the_demo() -> None:
    invented = {happening.by.removesuffix(" (demo)") for happening in happenings(SystemClock().now())}
    invented |= set(re.findall(r"DEMO-[HL]\d+", b"".join(SHEETS.values()).decode()))
    assert len(invented) > 10
    program = (path for suffix in ("py", "toml", "typ") for path in PACKAGE.rglob(f"*.{suffix}"))
    for path in program:
        if PACKAGE / "demo" not in path.parents:
            text = path.read_text(encoding="utf-8")
            assert not [name for name in invented if name in text], path


@pytest.mark.parametrize("job", sorted(SHEETS))
def test_only_the_nickel_job_plans_with_a_conflict(job: str) -> None:
    conflicts = plan_sheet(SHEETS[job]).all_conflicts
    if job == "DEMO-5":
        (conflict,) = conflicts
        assert conflict.startswith("steps 20, 30, 40: the window of J1 is empty")
    else:
        assert conflicts == ()


# Minimum by thickness: common practice for 4130, no published source; the first row by the maker's bulletin on TIG
# welding of 4130 tube (Lincoln Electric, June 2000: no preheat under 0.120 in at 70 F and above). 41 F and 5 C are the
# floor for dry ordinary steel (common practice).
@pytest.mark.parametrize(
    ("job", "at_least"),
    [
        ("DEMO-1", ("70", "degF")),
        ("DEMO-2", ("300", "degF")),
        ("DEMO-3", ("500", "degF")),
        ("DEMO-4", ("5", "degC")),
        ("DEMO-5", ("400", "degF")),
        ("DEMO-6", ("300", "degF")),
        ("DEMO-7", ("300", "degF")),
        ("DEMO-8", ("300", "degF")),
    ],
)
def test_the_preheat_that_each_job_asks_for(job: str, at_least: tuple[str, str]) -> None:
    limit = named_requirement(plan_sheet(SHEETS[job]), "preheat", "preheat temperature").at_least
    assert limit is not None
    assert (limit.text, limit.unit.symbol) == at_least


def test_the_range_of_the_procedure_stands_beside_the_plan_and_holds_it() -> None:
    """ISO 15614-1:2017 8.4.8, 8.4.9: 90 F below the preheat tested (300 F), 90 F above the interpass tested (450 F)."""
    plan = plan_sheet(SHEETS["DEMO-7"])
    for kind, quantity in (("preheat", "preheat temperature"), ("weld", "interpass temperature")):
        asked = named_requirement(plan, kind, quantity)
        beside = [basis for basis in asked.basis if basis.method == "procedure DEMO-WPS-3 revision A"]
        assert [(basis.bound, basis.role, dict(basis.working)["as printed"]) for basis in beside] == [
            ("at_least", "cross-check", "210 °F"),
            ("at_most", "cross-check", "540 °F"),
        ]
    between = named_requirement(plan, "weld", "interpass temperature")
    assert between.at_least is not None
    assert between.at_most is not None
    assert (between.at_least.text, between.at_most.text) == ("300", "500")


@pytest.mark.parametrize("swapped", [False, True])
def test_the_soak_hangs_below_the_lower_of_two_tempering_temperatures(swapped: bool) -> None:
    """Common practice: 50 F under the temper, a band of 50 F below that; whichever piece is named first."""
    text = SHEETS["DEMO-3"].decode()
    assert '"1150 F"' in text
    assert '"1175 F"' in text
    if swapped:
        swap = {'"1150 F"': '"1175 F"', '"1175 F"': '"1150 F"'}
        text = re.sub('"11(?:50|75) F"', lambda found: swap[found[0]], text)
    soak = named_requirement(plan_sheet(text.encode()), "stress relief", "soak temperature")
    assert soak.at_least is not None
    assert soak.at_most is not None
    assert (soak.at_least.text, soak.at_most.text, soak.at_most.unit.symbol) == ("1050", "1100", "degF")


@pytest.mark.parametrize("job", sorted(SHEETS))
def test_each_certificate_is_inside_the_limits_of_its_grade(job: str) -> None:
    """ASTM A29 and SAE J404 for 4130, ASTM A36, EN 10025-2 for S355, as the library has them."""
    steels = load_library().steels
    for material in table(job)["material"]:
        limits = steels[material["grade"].casefold()].limits
        for element, content in material["composition"].items():
            limit = limits.get(element)
            if limit is not None:
                assert limit.min is None or limit.min <= content, (material["id"], element)
                assert limit.max is None or content <= limit.max, (material["id"], element)


def test_the_relief_that_was_too_hot_agrees_with_its_chart(tmp_path: Path) -> None:
    """By the rows alone: soak while both couples are in 1100 to 1150 F, rates by the half hour above 800 F."""
    lines = kept_file("relief-demo-6.csv").decode().splitlines()[2:]
    rows = [tuple(map(float, row)) for row in csv.reader(lines, delimiter=";")]
    path, _ = build_demo(tmp_path, SystemClock())
    with Shop.open(path, read_only=True) as shop:
        steps = look(shop, SystemClock(), "DEMO-6")["steps"]
    (chart,) = next(step for step in steps if step["number"] == 60)["charts"]
    judged = {entry["criterion"]: entry for entry in chart["criteria"]}
    assert chart["verdict"] == "not met"
    assert judged["highest temperature"]["worst"] == max(row[3] for row in rows) == 1174
    inside = [all(1100 <= couple <= 1150 for couple in row[2:]) for row in rows]
    last_out = max(index for index, row in enumerate(rows) if max(row[2:]) > 1150)
    soaking = [row[0] for row, within in list(zip(rows, inside, strict=True))[last_out:] if within]
    # A crossing lies at most one interval of two minutes beyond the sample on either side.
    assert soaking[-1] - soaking[0] <= judged["soak time"]["worst"] <= soaking[-1] - soaking[0] + 4
    fastest = {"heating rate": 0.0, "cooling rate": 0.0}
    for couple in (2, 3):
        for earlier, later in zip(rows, rows[15:], strict=False):
            # Only windows wholly in one phase: from 800 F up to the soak, from the soak down to 800 F.
            if min(earlier[couple], later[couple]) >= 800 and max(earlier[couple], later[couple]) <= 1100:
                rate = 2 * (later[couple] - earlier[couple])
                fastest["heating rate"] = max(fastest["heating rate"], rate)
                fastest["cooling rate"] = max(fastest["cooling rate"], -rate)
    for name, rate in fastest.items():
        # Windows that begin between two samples may be a little faster.
        assert rate <= judged[name]["worst"] <= rate + 8
        assert judged[name]["verdict"] == "met"
    assert [judged[name]["verdict"] for name in ("soak time", "temperature at loading")] == ["met", "met"]
