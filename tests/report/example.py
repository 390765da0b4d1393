"""An invented job as the traveler object: a 4130 bracket on an S355 tube, fitted, preheated twice, welded.

People, numbers and heats are invented. The preheat values are those of the methods named: grade table,
common practice; EN 1011-2 method B recomputed by hand for CET 0.431, 6.35 mm, 5 ml/100 g, 0.6 kJ/mm:
697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328 = 300.4 + 28.7 + 108.9 - 5.5 - 328 = 104.5 degC.
"""

import copy
import json
from typing import Any

FITTER, WELDER, INSPECTOR = "Łukasz Őry-Ångström", "Δήμητρα Νίκου", "Игорь Чернов"
CODE = "K3QF-7ZPA-M2XD-V5RT"
PRACTICE = "common practice, no published source"


def at(minute: int, hour: int = 10) -> str:
    return f"2026-03-14T{hour:02}:{minute:02}:05+01:00"


def reading(
    number: int, value: str, unit: str | None, shown: str, verdict: str, who: str, when: str, **more: Any
) -> dict[str, Any]:
    return {
        "reading": number,
        "value": value,
        "unit": unit,
        "typed": value,
        "place": None,
        "instrument": None,
        "happened_at": when,
        "recorded_at": when,
        "by": {"name": who, "how": "stated"},
        "attempt": 1,
        "run": None,
        "verdict": verdict,
        "superseded_by": None,
        "superseded": False,
        "reason": None,
        "late": False,
        "shown": shown,
    } | more


def basis(
    method: str, bound: str | None, role: str, status: str, value: float | None, **more: Any
) -> dict[str, Any]:
    return {
        "method": method,
        "bound": bound,
        "role": role,
        "status": status,
        "value": value,
        "unit": "degC",
        "mark": PRACTICE,
        "source": None,
        "edition": None,
        "reasons": [],
        "member": "plate",
        "working": [],
    } | more


def requirement(step: int, quantity: str, **more: Any) -> dict[str, Any]:
    return {
        "id": f"{step}.{quantity}",
        "quantity": quantity,
        "joint": None,
        "type": "number",
        "unit": "degC",
        "options": [],
        "accepts": [],
        "why": "",
        "at_least": None,
        "at_most": None,
        "limit": {"at_least": None, "at_most": None},
        "governed_by": {"at_least": None, "at_most": None},
        "undetermined": False,
        "evidence": {"readings": 1, "where": "", "wait_s": None, "instruments": [], "per_run": False},
        "basis": [],
        "verdict": "met",
        "verdict_reason": "",
        "attempts": 1,
        "readings": [],
        "shown": {"at_least": None, "at_most": None, "limit": ""},
    } | more


def signature(who: str, when: str, meaning: str, **more: Any) -> dict[str, Any]:
    by = {"name": who, "how": "stated"}
    return {"by": by, "happened_at": when, "recorded_at": when, "revision": 2, "meaning": meaning} | more


def step(
    number: int, kind: str, title: str, requirements: list[dict[str, Any]], **more: Any
) -> dict[str, Any]:
    return {
        "number": number,
        "kind": kind,
        "joint": "J1",
        "joints": ["J1"],
        "title": title,
        "state": "accepted",
        "blocked_by": [],
        "attempt": 1,
        "content": "9f2c" * 16,
        "notes": [],
        "requirements": requirements,
        "performed": [],
        "accepted": None,
    } | more


def _fit() -> dict[str, Any]:
    heat = requirement(
        20,
        "heat number of plate",
        type="text",
        unit=None,
        accepts=["A7731"],
        why="the heat number stays on each piece after the cut",
        readings=[reading(1, "A7731", None, "A7731", "met", FITTER, at(2, 8))],
        shown={"at_least": None, "at_most": None, "limit": "A7731"},
    )
    dry = requirement(
        20,
        "metal dry",
        type="choice",
        unit=None,
        options=["yes", "no"],
        accepts=["yes"],
        why="moisture is hydrogen in the weld",
        readings=[reading(2, "yes", None, "yes", "met", FITTER, at(3, 8))],
        shown={"at_least": None, "at_most": None, "limit": "yes"},
    )
    warm = requirement(
        20,
        "metal temperature",
        at_least=21.1,
        limit={"at_least": {"value": "70", "unit": "degF"}, "at_most": None},
        governed_by={"at_least": "hardenable steel at fit", "at_most": None},
        basis=[
            basis(
                "hardenable steel at fit",
                "at_least",
                "governs",
                "ok",
                21.1,
                source="UFGS 05 05 5A",
                mark="seen",
            )
        ],
        readings=[
            reading(
                3,
                "720",
                "degF",
                "720 °F (382.2 °C)",
                "met",
                FITTER,
                at(5, 8),
                place="plate",
                superseded=True,
                superseded_by=4,
                reason="typing error, 72.0 was on the display",
            ),
            reading(
                4,
                "72.0",
                "degF",
                "72.0 °F (22.2 °C)",
                "met",
                FITTER,
                at(5, 8),
                place="plate",
                instrument="contact thermometer",
                recorded_at=at(9, 8),
            ),
        ],
        shown={"at_least": "70 °F (21.1 °C)", "at_most": None, "limit": "at least 70 °F (21.1 °C)"},
    )
    return step(
        20,
        "fit",
        "Fit bracket to rail and tack",
        [heat, dry, warm],
        notes=["Tacks need the preheat of the weld.", "No arc outside the joint."],
        performed=[signature(FITTER, at(20, 8), "performed as written", runs=None, revision=1)],
        accepted=signature(
            INSPECTOR, at(31, 8), "inspected and accepted", revision=1, content="9f2c" * 16, stands=True
        ),
    )


PREHEAT_BASIS = [
    basis(
        "grade table 4130",
        "at_least",
        "governs",
        "ok",
        148.9,
        working=[["thickest member", "6.35 mm"], ["row", "1/4 in"], ["row says", "300 °F"]],
    ),
    basis(
        "EN 1011-2 method B",
        "at_least",
        "governs",
        "extrapolated",
        104.5,
        source="EN 1011-2 C.3",
        edition="2001",
        mark="secondary",
        reasons=["thickness 6.35 mm is below 10 mm"],
        working=[
            ["CET", "0.431 %"],
            ["from CET", "300.4 °C"],
            ["from thickness", "28.7 °C"],
            ["from hydrogen", "108.9 °C"],
            ["from heat input 0.60 kJ/mm", "-5.5 °C"],
            ["constant", "-328 °C"],
        ],
    ),
    basis(
        "AWS D1.1 table 3.3",
        "at_least",
        "cross-check",
        "not applicable",
        None,
        source="AWS D1.1 table 3.3",
        edition="2015",
        mark="seen",
        member="rail",
        reasons=["TIG is not a process of this table"],
    ),
    basis(
        "Seferian",
        "at_least",
        "indicative",
        "ok",
        171.2,
        mark="memory",
        source="Seferian, Métallurgie de la soudure",
        edition="1959",
    ),
    basis(
        "shop interpass rule",
        "at_most",
        "governs",
        "ok",
        260.0,
        member=None,
        working=[["preheat", "300 °F"], ["plus", "200 °F difference"]],
    ),
]
WINDOW_SHOWN = {
    "at_least": "300 °F (148.9 °C)",
    "at_most": "500 °F (260 °C)",
    "limit": "at least 300 °F (148.9 °C), at most 500 °F (260 °C)",
}


def _preheat() -> dict[str, Any]:
    tool = {"instrument": "contact thermometer CT-2"}
    window = requirement(
        40,
        "preheat temperature",
        at_least=148.9,
        at_most=260.0,
        attempts=2,
        basis=PREHEAT_BASIS,
        why="4130 hardens beside the weld unless it cools slowly",
        limit={"at_least": {"value": "300", "unit": "degF"}, "at_most": {"value": "500", "unit": "degF"}},
        governed_by={"at_least": "grade table 4130", "at_most": "shop interpass rule"},
        shown=WINDOW_SHOWN,
        evidence={
            "readings": 2,
            "where": "on each member 4 t from the groove edge (25 mm, 12 mm), away from the heat, "
            "or on the heated face after the wait",
            "wait_s": 31,
            "per_run": False,
            "instruments": ["contact thermometer", "thermocouple"],
        },
        readings=[
            reading(
                5,
                "262",
                "degF",
                "262 °F (127.8 °C)",
                "not met",
                WELDER,
                at(2),
                place="plate, 25 mm left",
                **tool,
            ),
            reading(
                6,
                "3120",
                "degF",
                "3120 °F (1715.6 °C)",
                "not met",
                WELDER,
                at(14),
                place="plate, 25 mm left",
                attempt=2,
                superseded=True,
                superseded_by=7,
                reason="typing error, a nought too many",
                **tool,
            ),
            reading(
                7,
                "312",
                "degF",
                "312 °F (155.6 °C)",
                "met",
                WELDER,
                at(14),
                place="plate, 25 mm left",
                attempt=2,
                recorded_at=at(15),
                **tool,
            ),
            reading(
                8,
                "318",
                "degF",
                "318 °F (158.9 °C)",
                "met",
                WELDER,
                at(16),
                place="rail, 12 mm right",
                attempt=2,
                late=True,
                recorded_at=at(58),
                **tool,
            ),
        ],
    )
    return step(
        40,
        "preheat",
        "Preheat the bracket joint",
        [window],
        attempt=2,
        performed=[signature(WELDER, at(17), "performed as written", runs=None)],
        accepted=signature(INSPECTOR, at(59), "inspected and accepted", content="9f2c" * 16, stands=True),
    )


SHOWN_INTERPASS = ("306 °F (152.2 °C)", "346 °F (174.4 °C)", "386 °F (196.7 °C)")


def _weld() -> dict[str, Any]:
    interpass = requirement(
        50,
        "interpass temperature",
        at_least=148.9,
        at_most=260.0,
        shown=WINDOW_SHOWN,
        basis=PREHEAT_BASIS[::4],
        limit={"at_least": {"value": "300", "unit": "degF"}, "at_most": {"value": "500", "unit": "degF"}},
        governed_by={"at_least": "grade table 4130", "at_most": "shop interpass rule"},
        evidence={
            "readings": 1,
            "where": "beside the next run",
            "wait_s": None,
            "instruments": [],
            "per_run": True,
        },
        readings=[
            reading(
                9 + run,
                str(306 + 40 * run),
                "degF",
                SHOWN_INTERPASS[run],
                "met",
                WELDER,
                at(10 + 9 * run, 11),
                run=run + 1,
                place="25 mm beside the run",
            )
            for run in range(3)
        ],
    )
    energy = requirement(
        50,
        "arc energy",
        unit="kJ/mm",
        at_most=1.2,
        basis=[],
        limit={"at_least": None, "at_most": {"value": "1.2", "unit": "kJ/mm"}},
        verdict="conditional",
        verdict_reason="inside by less than the uncertainty",
        evidence={"readings": 1, "where": "", "wait_s": None, "instruments": [], "per_run": True},
        readings=[
            reading(
                12 + run,
                "1.15",
                "kJ/mm",
                "1.15 kJ/mm (29.2 kJ/in)",
                "conditional",
                WELDER,
                at(14 + 9 * run, 11),
                run=run + 1,
            )
            for run in range(3)
        ],
        shown={"at_least": None, "at_most": "1.2 kJ/mm", "limit": "at most 1.2 kJ/mm (30.5 kJ/in)"},
    )
    return step(
        50,
        "weld",
        "Weld bracket to rail, three runs",
        [interpass, energy],
        notes=["Read the temperature before each run; too hot between runs means wait and read again."],
        performed=[signature(WELDER, at(40, 11), "performed as written", runs=3)],
        accepted=signature(INSPECTOR, at(5, 12), "inspected and accepted", content="9f2c" * 16, stands=True),
    )


def closed_job() -> dict[str, Any]:
    """The job as handed to the customer."""
    by = {"name": INSPECTOR, "how": "stated"}
    return {
        "job": "H-014",
        "title": "Rear upright bracket, replacement (invented)",
        "part": "RU-3, left",
        "units": "inch",
        "decides": "welding engineer",
        "revision": 2,
        "program": "0.1.0",
        "state": "closed",
        "head": CODE,
        "events": 31,
        "as_of": at(30, 13),
        "decision_rule": "simple acceptance",
        "names": "names as stated",
        "materials": [
            {
                "id": "plate",
                "grade": "4130",
                "spec": "ASTM A29",
                "condition": "annealed",
                "heat number": "A7731",
                "certificate": "3.1",
                "tempered at": "",
                "composition": "C 0.31, Si 0.26, Mn 0.52, Cr 0.98, Mo 0.20 (certificate); "
                "Ni <= 0.25 (assumed from the grade limits)",
            },
            {
                "id": "rail",
                "grade": "S355J2",
                "spec": "EN 10025-2",
                "condition": "as rolled",
                "heat number": "",
                "certificate": "none",
                "tempered at": "",
                "composition": "C <= 0.20, Mn <= 1.60 (assumed from the grade limits)",
            },
        ],
        "fillers": [
            {"id": "rod", "classification": "ER70S-2", "hydrogen": "H5, 5 ml/100 g", "lot": "L-2207"}
        ],
        "joints": [
            {
                "id": "J1",
                "type": "T fillet",
                "process": "141 TIG",
                "filler": "rod",
                "arc energy": "1.0 kJ/mm",
                "heat input": "0.60 kJ/mm (efficiency 0.6)",
                "restraint": "high",
                "members": "plate, plate 1/4 in (6.35 mm); rail, tube 0.120 in (3.05 mm)",
            },
        ],
        "revisions": [
            {"revision": 1, "issued_at": at(40, 7), "recorded_at": at(40, 7), "by": by, "because": None},
            {
                "revision": 2,
                "issued_at": at(50, 8),
                "recorded_at": at(50, 8),
                "by": by,
                "because": "restraint is high: the rail is closed at both ends",
            },
        ],
        "attachments": [
            {
                "name": "mill certificate A7731.pdf",
                "as": "certificate",
                "sha256": "5b1e" * 16,
                "size": 184320,
                "step": 20,
                "by": by,
                "happened_at": at(1, 8),
                "recorded_at": at(1, 8),
            },
        ],
        "closed": {"by": by, "happened_at": at(30, 13), "recorded_at": at(30, 13)},
        "cancelled": None,
        "exceptions": [
            "Step 40: preheat tried again (attempt 2): first reading 262 °F, too cold.",
            "Reading 3 superseded by reading 4; reading 6 superseded by reading 7.",
            "Reading 8 is a late entry.",
            "Composition of rail is assumed from the grade limits.",
            "Arc energy of step 50 is conditional: accepted under simple acceptance.",
        ],
        "steps": [_fit(), _preheat(), _weld()],
        "conflicts": [],
        "cautions": ["Hot metal looks like cold metal. Local codes and licensed practice rule."],
    }


def open_job() -> dict[str, Any]:
    """The same job before the second preheat reading: nothing accepted at step 40, weld not ready."""
    job = copy.deepcopy(closed_job())
    job |= {
        "state": "in process",
        "closed": None,
        "events": 16,
        "head": "QX4N-2JRD-6TTE-B3MO",
        "as_of": at(15),
    }
    preheat, weld = job["steps"][1:]
    preheat |= {
        "state": "in work",
        "blocked_by": [
            "preheat temperature not shown: 2 readings needed, 1 taken",
            "not yet signed as performed",
        ],
        "performed": [],
        "accepted": None,
    }
    preheat["requirements"][0] |= {"verdict": "not shown", "verdict_reason": "2 readings needed, 1 taken"}
    preheat["requirements"][0]["readings"].pop()
    weld |= {
        "state": "not ready",
        "blocked_by": ["step 40 is not accepted"],
        "performed": [],
        "accepted": None,
    }
    for needed in weld["requirements"]:
        needed |= {"verdict": "not shown", "verdict_reason": "no run of weld recorded yet", "readings": []}
    job["exceptions"] = job["exceptions"][:2] + job["exceptions"][3:4]
    return job


def planned() -> dict[str, Any]:
    """What planning alone knows: no readings, verdicts, states or head; one conflict."""
    job = copy.deepcopy(closed_job())
    stored = (
        "revision",
        "program",
        "state",
        "head",
        "events",
        "as_of",
        "names",
        "revisions",
        "attachments",
        "closed",
        "cancelled",
        "exceptions",
        "decision_rule",
    )
    for key in stored:
        del job[key]
    for planned_step in job["steps"]:
        for key in ("state", "blocked_by", "attempt", "content", "performed", "accepted"):
            del planned_step[key]
        for needed in planned_step["requirements"]:
            for key in ("verdict", "verdict_reason", "attempts", "readings"):
                del needed[key]
    job["conflicts"] = ["Step 60: stress relief is called for and the sheet has no such step."]
    return job


def bodies() -> list[str]:
    """Two event bodies in the form of the record."""
    acts = ({"what": "issued", "revision": 1}, {"what": "recorded", "typed": "312 F \x9b31m", "by": WELDER})
    return [
        json.dumps(
            {"stream": "job H-014", "seq": seq, "act": act},
            sort_keys=True,
            ensure_ascii=False,
            separators=(",", ":"),
        )
        for seq, act in enumerate(acts, 1)
    ]
