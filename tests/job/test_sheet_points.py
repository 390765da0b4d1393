"""Hold and witness points, the decision rule and self-inspection, from the sheet into the frozen plan."""

import json

import pytest
from plan_kit import COMPOSITION_4130, material, sheet

from traveler.errors import BadSheet
from traveler.job.plan import plan_job
from traveler.job.plan_json import plan_from_act, plan_to_act
from traveler.job.requirement import Plan
from traveler.job.sheet_reader import read_sheet
from traveler.library.load import load_library
from traveler.quantity.show import show


def text(step: str = "", job: str = "") -> str:
    base = sheet(
        ("plate", "plate", "1/4 in"), ("plate", "plate", "1/4 in"),
        materials=material("plate", composition=COMPOSITION_4130), job=job,
    )  # fmt: skip
    return f'{base}\n[[step]]\nnumber = 40\nkind = "preheat"\njoint = "J1"\n{step}\n'


def planned(step: str = "", job: str = "") -> Plan:
    library = load_library()
    return plan_job(read_sheet(text(step, job), library), library)


def faults(step: str = "", job: str = "") -> tuple[str, ...]:
    with pytest.raises(BadSheet) as caught:
        read_sheet(text(step, job), load_library())
    return caught.value.faults


def test_points_come_numbered_holds_first() -> None:
    plan = planned('hold = ["customer", "engineer"]\nwitness = ["inspector"]\nnotice = "24 h"')
    points = plan.steps[0].points
    assert [(point.number, point.kind, point.party) for point in points] == [
        (1, "hold", "customer"),
        (2, "hold", "engineer"),
        (3, "witness", "inspector"),
    ]
    assert points[0].notice is None
    assert points[2].notice is not None
    assert show(points[2].notice) == "24 h"


def test_a_witness_without_a_notice_does_not_lapse() -> None:
    (point,) = planned('witness = ["customer"]').steps[0].points
    assert point.notice is None


def test_rule_and_self_inspection_are_the_jobs() -> None:
    plan = planned(job='decision_rule = "guard band 0.83"\nself_inspection = true')
    assert (plan.decision_rule, plan.self_inspection) == ("guard band 0.83", True)
    assert (planned().decision_rule, planned().self_inspection) == (None, False)


@pytest.mark.parametrize(
    "plan",
    [
        planned(),
        planned(
            'hold = ["customer"]\nwitness = ["engineer"]\nnotice = "90 min"',
            'decision_rule = "guard band"\nself_inspection = true',
        ),
    ],
    ids=["without", "with"],
)
def test_the_plan_comes_back_from_the_event_that_froze_it(plan: Plan) -> None:
    assert plan_from_act(json.loads(json.dumps(plan_to_act(plan)))) == plan


def test_a_plan_without_them_is_frozen_as_before() -> None:
    act = plan_to_act(planned())
    assert {"decision_rule", "self_inspection"} & act.keys() == set()
    assert "points" not in act["steps"][0]


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        ('hold = "customer"', 'step[0].hold: read "customer"; expected a list of parties, one of "owner"'),
        ('hold = ["custmer"]', 'step[0].hold[0]: read "custmer"; expected one of "owner", "welder"'),
        ('hold = ["custmer"]', 'did you mean "customer"?'),
        ('hold = ["customer", "customer"]', 'step[0].hold[1]: read "customer" a second time; expected each once'),
        ('witness = [3]', "step[0].witness[0]: read the number 3; expected one of"),
        ('notice = "24 h"', "step[0].notice: read a notice without a witness"),
        ('hold = ["customer"]\nnotice = "24 h"', "a hold never lapses"),
        ('witness = ["customer"]\nnotice = "24"', "step[0].notice: read 24: the unit is missing"),
        ('witness = ["customer"]\nnotice = "0 h"', "expected a time such as 30 min or 2 h, greater than zero"),
        ('witness = ["customer"]\nnotice = "3 mm"', "mm is not a unit of time"),
        ('witnes = ["customer"]', 'did you mean "witness"?'),
    ],
)  # fmt: skip
def test_faults_of_points_name_the_place(step: str, expected: str) -> None:
    (fault,) = faults(step)
    assert expected in fault


@pytest.mark.parametrize(
    ("job", "expected"),
    [
        ('decision_rule = "guard"', 'job.decision_rule: read "guard"; expected one of "simple acceptance", '),
        ('decision_rule = 0.83', "job.decision_rule: read the number 0.83"),
        ('self_inspection = "yes"', 'job.self_inspection: read "yes"; expected true or false'),
    ],
)  # fmt: skip
def test_faults_of_the_job_name_the_place(job: str, expected: str) -> None:
    (fault,) = faults(job=job)
    assert expected in fault
