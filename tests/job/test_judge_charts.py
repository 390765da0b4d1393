"""A recorded chart is a reading: it answers requirements, stays when it fails, and is taken back as a whole.

The rules are decisions of this project (common practice, no published source); the charts here are invented acts as the
log holds them.
"""

from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest
from judge_kit import NOON, Story, number, plan_of, step_of

from traveler.job.chart_limits import limits_digest
from traveler.job.content import content_digest
from traveler.job.exceptions import exceptions
from traveler.job.fold import CHARTED, REVISED
from traveler.job.gate import AcceptStep, may
from traveler.job.judge import judge
from traveler.job.plan_json import plan_from_act, plan_to_act
from traveler.job.requirement import StepPlan
from traveler.job.state import Person
from traveler.job.view import traveler_object

NOW = datetime.fromisoformat(NOON)
SOAK = number("soak temperature", "1100 degF", "1150 degF", readings=2)
TIME = number("soak time", "60 min", unit="min")
SPREAD = number("spread in the soak", at_most="150 delta_degF", unit="delta_degC")
RELIEF = replace(step_of(SOAK, TIME, kind="stress relief", at=60), chart_limits=(SPREAD,))
NO_OPTIONS = {
    "window": "30 min", "soak": "longest", "max_gap": "4 min", "uncertainty": None, "rule": "simple",
    "loaded": None, "out": None, "method": "logger",
}  # fmt: skip
NO_DRAWING = {
    "unit": "degF", "started_at": None, "length_s": "7200", "couples": [], "soaks": [], "faults": [],
    "band": ["1100.00", "1150.00"], "threshold": None, "loaded_s": None, "out_s": None,
}  # fmt: skip


def criterion(name: str, verdict: str, worst: str | None = None, unit: str = "min") -> dict[str, Any]:
    return {
        "criterion": name, "bound": "at_least", "limit": None, "source": None, "mark": None, "worst": worst,
        "unit": unit, "couple": "TC1", "at_s": "60", "at": "0:01:00", "margin": None, "verdict": verdict,
        "reasons": [] if verdict == "met" else [f"{name} as the chart has it"], "decides": True,
    }  # fmt: skip


def chart(
    story: Story,
    *criteria: dict[str, Any],
    instead_of: int | None = None,
    step: StepPlan = RELIEF,
    method: str = "logger",
    rule: str = "simple",
    attempt: int = 1,
) -> int:
    """Record a chart that answers soak temperature and soak time from its criteria; returns its number."""
    state = story.state()
    charted = len(state.charts) + 1
    answers = {"soak temperature": SOAK, "highest temperature": SOAK, "soak time": TIME}
    readings = [
        {
            "reading": next(story.numbers), "step": step.number, "joint": "J1", "run": None, "attempt": attempt,
            "quantity": answers[entry["criterion"]].quantity, "value": entry["worst"], "unit": entry["unit"],
            "typed": f"{entry['worst']} {entry['unit']}", "place": f"{entry['criterion']} couple",
            "instrument": f"chart {charted}", "chart": charted, "verdict": entry["verdict"],
            "verdict_reason": "; ".join(entry["reasons"]), "happened_at": NOON,
        }
        for entry in criteria
        if entry["criterion"] in answers and entry["worst"]
    ]  # fmt: skip
    verdicts = [entry["verdict"] for entry in criteria]
    worst = next((v for v in ("not met", "not shown", "conditional") if v in verdicts), "met")
    act = {
        "step": step.number, "kind": step.kind, "chart": charted, "as": "chart", "name": "relief.csv",
        "sha256": "0" * 64, "size": 10, "limits": limits_digest(step), "instead_of": instead_of,
        "because": "wrong columns" if instead_of else None, "judge": 1, "verdict": worst,
        "criteria": list(criteria), "soaks": [], "mapping": {}, "notes": [],
        "options": {**NO_OPTIONS, "method": method, "rule": rule},
        "cycle": [], "drawing": NO_DRAWING, "readings": readings,
    }  # fmt: skip
    story.tell(CHARTED, act)
    return charted


def good(**changed: str) -> tuple[dict[str, Any], ...]:
    """The criteria of a chart that shows everything, but for those named."""
    verdicts = {"soak_temperature": "met", "highest_temperature": "met", "soak_time": "met", "spread": "met"}
    verdicts |= changed
    return (
        criterion("soak temperature", verdicts["soak_temperature"], "1102", "degF"),
        criterion("highest temperature", verdicts["highest_temperature"], "1148", "degF"),
        criterion("soak time", verdicts["soak_time"], "70" if verdicts["soak_time"] == "met" else "50"),
        criterion("spread in the soak", verdicts["spread"], "46", "delta_degF"),
    )


def blocked(story: Story) -> list[str]:
    reasons = may(AcceptStep(60), story.state(), None, NOW).reasons
    return [reason for reason in reasons if "signed" not in reason]


def test_a_good_chart_answers_the_requirements() -> None:
    story = Story(RELIEF)
    chart(story, *good())
    assert story.verdict("soak temperature") == "met"
    assert story.verdict("soak time") == "met"
    assert blocked(story) == []


@pytest.mark.parametrize("verdict", ["not met", "not shown"])
def test_a_failing_time_blocks_with_the_charts_own_reason(verdict: str) -> None:
    story = Story(RELIEF)
    chart(story, *good(soak_time=verdict))
    judged = story.judged("soak time")
    assert judged.verdict == verdict
    assert "soak time as the chart has it" in judged.reason
    assert len(blocked(story)) == 1


def test_a_later_good_chart_does_not_outweigh_a_failing_one() -> None:
    story = Story(RELIEF)
    chart(story, *good(soak_time="not met"))
    chart(story, *good())
    assert story.verdict("soak time") == "not met"


def test_what_one_chart_does_not_show_a_later_one_may() -> None:
    story = Story(RELIEF)
    chart(story, *good(soak_time="not shown", spread="not shown"))
    assert len(blocked(story)) == 2
    chart(story, *good())
    assert blocked(story) == []


def test_what_only_a_chart_shows_blocks_too_and_stays() -> None:
    story = Story(RELIEF)
    chart(story, *good(spread="not met"))
    reason = (
        "chart 1, spread in the soak not met: 46 F° at TC1, 0:01:00; spread in the soak as the chart has it"
    )
    assert blocked(story) == [reason]
    chart(story, *good())
    assert blocked(story) == [reason]


def test_conditional_is_accepted_and_stands_among_the_exceptions() -> None:
    story = Story(RELIEF)
    chart(story, *good(soak_time="conditional", spread="conditional"))
    assert blocked(story) == []
    said = list(exceptions(story.state()))
    assert [line.partition(":")[0] for line in said] == ["step 60", "step 60"]
    assert "soak time conditional" in said[0]
    assert "spread in the soak conditional" in said[1]


@pytest.mark.parametrize("which", ["soak_time", "spread"])
def test_under_a_guard_band_conditional_is_not_enough(which: str) -> None:
    """Neither where a requirement asks for it nor where only the chart does, and no chart without the band cures it."""
    story = Story(RELIEF)
    chart(story, *good(**{which: "conditional"}), rule="guard")
    (reason,) = blocked(story)
    assert reason.startswith(
        f"chart 1, {'soak time' if which == 'soak_time' else 'spread in the soak'} conditional"
    )
    assert reason.endswith("not enough, a guard band was agreed")
    chart(story, *good())
    assert blocked(story) == [reason]
    chart(story, *good(), rule="guard")
    assert blocked(story) == []


def test_a_chart_is_taken_back_as_a_whole_and_stays_on_the_first_page() -> None:
    story = Story(RELIEF)
    chart(story, *good(spread="not met"))
    story.correct(1, None)
    state = story.state()
    assert all(reading.superseded for reading in state.readings)
    assert state.charts[0].superseded
    assert story.judged("soak time").verdict == "not shown"
    assert list(exceptions(state)) == ["step 60, chart 1 (relief.csv, not met): taken back: misread"]


def test_a_chart_stands_in_place_of_another() -> None:
    story = Story(RELIEF)
    chart(story, *good(soak_time="not met"))
    chart(story, *good(), instead_of=1)
    assert story.verdict("soak time") == "met"
    assert blocked(story) == []
    (said,) = exceptions(story.state())
    assert said == "step 60, chart 1 (relief.csv, not met): chart 2 stands in its place: wrong columns"


def revised(story: Story, step: StepPlan) -> Story:
    """The same story under a revision with other limits."""
    act = {"revision": 2, "plan": plan_to_act(plan_of(step)), "program": "0", "because": "thicker lug"}
    story.tell(REVISED, act)
    story.step = step
    return story


def test_under_other_limits_the_chart_has_to_be_judged_again() -> None:
    story = Story(RELIEF)
    chart(story, *good())
    longer = replace(RELIEF, requirements=(SOAK, number("soak time", "65 min", unit="min")))
    revised(story, longer)
    judged = story.judged("soak time")
    assert judged.verdict == "not shown"
    assert "attach it again" in judged.reason
    chart(story, *good(), step=longer)
    assert story.verdict("soak time") == "met"


def test_a_value_outside_the_new_limit_is_not_met_without_judging_again() -> None:
    story = Story(RELIEF)
    chart(story, *good())
    revised(story, replace(RELIEF, requirements=(SOAK, number("soak time", "90 min", unit="min"))))
    assert story.verdict("soak time") == "not met"


def test_a_signature_covers_the_chart() -> None:
    story = Story(RELIEF)
    before = content_digest(story.state(), RELIEF)
    chart(story, *good())
    with_chart = content_digest(story.state(), RELIEF)
    story.correct(1, None)
    assert len({before, with_chart, content_digest(story.state(), RELIEF)}) == 3


def test_hand_read_points_and_crayons_are_named_as_such() -> None:
    for method, words in (("hand-read", "read by hand"), ("crayon", "crayons that melted")):
        story = Story(RELIEF)
        chart(story, *good(), method=method)
        assert any(words in line for line in exceptions(story.state()))


def test_the_traveler_object_carries_the_chart_with_its_step() -> None:
    story = Story(RELIEF)
    chart(story, *good(soak_time="not met"))
    (step,) = traveler_object(story.state(), NOW)["steps"]
    (shown,) = step["charts"]
    assert (shown["chart"], shown["verdict"], shown["kind"]) == (1, "not met", "stress relief")
    assert shown["against_current_limits"]
    time = next(entry for entry in step["requirements"] if entry["quantity"] == "soak time")
    assert [reading["verdict"] for reading in time["readings"]] == ["not met"]


def test_limits_of_charts_come_back_from_the_log() -> None:
    plan = plan_of(RELIEF)
    assert plan_from_act(plan_to_act(plan)) == plan
    assert "chart_limits" not in plan_to_act(plan_of(step_of(TIME)))["steps"][0]


def test_a_logger_shows_the_interpass_temperature_even_after_the_run_is_recorded() -> None:
    window = number("interpass temperature", "300 degF", "500 degF", per_run=True)
    weld = replace(step_of(window, number("arc energy", unit="kJ/mm", per_run=True), kind="weld"))
    story = Story(weld)
    story.lay(1)
    assert story.verdict("interpass temperature") == "not shown"
    for value, verdict in (("312", "met"), ("520", "not met")):
        reading = {
            "reading": next(story.numbers), "step": 40, "quantity": "interpass temperature", "joint": "J1",
            "value": value, "unit": "degF", "typed": f"{value} °F", "place": "TC1", "instrument": "chart 1", "run": 1,
            "attempt": 1, "chart": 1, "happened_at": NOON,
        }  # fmt: skip
        act = {
            "step": 40, "kind": "weld", "chart": 1, "as": "chart", "name": "log.csv", "sha256": "0" * 64, "size": 1,
            "limits": limits_digest(weld), "instead_of": None, "because": None, "judge": 1, "verdict": verdict,
            "criteria": [], "soaks": [], "options": NO_OPTIONS, "mapping": {}, "notes": [], "cycle": [],
            "drawing": NO_DRAWING, "readings": [reading],
        }  # fmt: skip
        story.tell(CHARTED, act)
        assert judge(story.state(), weld, window).verdict == verdict


def test_a_reading_of_a_logger_is_no_late_entry() -> None:
    story = Story(RELIEF)
    chart(story, *good())
    assert not any(reading.is_late for reading in story.state().readings)
    assert may(AcceptStep(60), story.state(), Person("Somebody Else"), NOW).reasons


def disposed(story: Story, disposition: str, **named: Any) -> None:
    """A nonconformance opened, approved and, but for rework, closed."""
    entry = {"nonconformance": 1}
    story.tell(
        "nonconformance opened",
        {**entry, "step": 60, "quantity": None, "joint": None, "what": "spread", "readings": [], **named},
    )
    story.tell("disposition proposed", {**entry, "disposition": disposition, "instruction": "as said"})
    story.tell(
        "disposition approved",
        {**entry, "disposition": disposition, "meaning": "I decide so", "because": None},
    )
    if disposition == "rework":
        story.tell("nonconformance re-verified", {**entry, "what": "looked again", "result": "complies"})
    story.tell("nonconformance closed", {**entry, "because": "done"})


def test_what_a_chart_shows_beyond_the_requirements_is_let_stand_by_name() -> None:
    story = Story(RELIEF)
    chart(story, *good(spread="not met"))
    (fault,) = blocked(story)
    assert fault.startswith("chart 1, spread in the soak not met: ")
    disposed(story, "use as is", quantity="spread in the soak")
    assert blocked(story) == []
    chart(story, *good(spread="not met"))  # that of another chart is not
    (fault,) = blocked(story)
    assert fault.startswith("chart 2, spread in the soak not met: ")


def test_readings_out_of_a_chart_are_let_stand_like_others() -> None:
    story = Story(RELIEF)
    chart(story, *good(soak_time="not met"))
    assert len(blocked(story)) == 1
    time = next(r.number for r in story.state().readings if r.key[1] == "soak time")
    disposed(story, "use as is", quantity="soak time", readings=[time])
    assert blocked(story) == []
    assert story.verdict("soak time") == "not met"


def test_after_rework_another_chart_shows_the_cycle_and_the_failed_one_stays_of_its_attempt() -> None:
    story = Story(RELIEF)
    chart(story, *good(soak_time="not met", spread="not met"))
    assert len(blocked(story)) == 2
    disposed(story, "rework")
    assert blocked(story) == [
        "soak temperature not shown: 2 readings needed, none taken",
        "soak time not shown: nothing recorded yet",
    ]
    charted = chart(story, *good(), attempt=2)
    assert charted == 2
    assert blocked(story) == []
    assert [(entry.verdict, entry.superseded) for entry in story.state().charts] == [
        ("not met", False),
        ("met", False),
    ]
