"""How long a preheat reading stays good, in whole plans and by itself; and plans frozen before it was known."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plan_kit import planned, requirement, same_grade, step

from traveler.job.arc_clock import arc_by_s
from traveler.job.plan_json import plan_from_act, plan_to_act
from traveler.job.view import plan_object
from traveler.metals.preheat_loss import patch_cools_s, whole_plate_cools_s

METHOD = "how long a reading stays good"


def preheat(plan):
    return requirement(plan, "preheat", "preheat temperature")


# An axisymmetric finite-difference run apart from this program, conduction and surface losses at once (emissivity 0.8,
# radius 75 mm, plate at 20 degC): the centre of 6.4 mm plate at 200 degC loses 10, 20, 30 % of 180 C in 46, 70, 95 s.
@pytest.mark.parametrize(("share", "seconds"), [(0.1, 46), (0.2, 70), (0.3, 95)])
def test_a_torch_heated_patch(share, seconds):
    """The clock takes both losses at their full rate everywhere and may err short, never long."""
    assert 0.75 * seconds <= arc_by_s(200, 200 - share * 180, 6.4) <= seconds


# Whole quarter-inch plate, 300 mm square, emissivity 0.8, from 325 F to 300 F: 1.3 min, worked out apart.
def test_a_part_hot_as_a_whole():
    assert arc_by_s(162.8, 148.9, 6.35, heated_radius_mm=None) == pytest.approx(78, abs=5)


def test_no_time_at_the_minimum_and_no_clock_at_room_temperature():
    assert arc_by_s(148.9, 148.9, 6.35) == 0
    assert arc_by_s(140, 148.9, 6.35) == 0
    assert arc_by_s(30, 20, 6.35) is None


@given(
    minimum_c=st.floats(60, 350),
    above_c=st.tuples(st.floats(0, 60), st.floats(0, 60)),
    thickness_mm=st.floats(1.5, 80),
)
def test_a_hotter_reading_lasts_longer_and_no_longer_than_either_loss_allows(
    minimum_c, above_c, thickness_mm
):
    less, more = sorted(above_c)
    assert arc_by_s(minimum_c + less, minimum_c, thickness_mm) <= arc_by_s(
        minimum_c + more, minimum_c, thickness_mm
    )
    reading_c = minimum_c + more
    found = arc_by_s(reading_c, minimum_c, thickness_mm)
    assert found <= patch_cools_s(reading_c, minimum_c, 75).value + 1
    assert found <= whole_plate_cools_s(reading_c, minimum_c, thickness_mm).value + 1


def test_the_preheat_reading_carries_it():
    plan = planned(same_grade("1/4 in"))
    found = preheat(plan)
    (row,) = (r for r in found.basis if r.method == METHOD)
    assert found.evidence.good_for_s == int(row.value)
    assert 20 <= found.evidence.good_for_s <= 120  # a minute or two for a 75 mm patch
    assert (row.role, row.unit) == ("indicative", "s")
    assert {"reading", "surroundings", "emissivity"} <= set(dict(row.working))
    assert any(f"about {row.value} s" in note for note in step(plan, "preheat").notes)
    (shown,) = next(s for s in plan_object(plan)["steps"] if s["kind"] == "preheat")["requirements"]
    assert shown["evidence"]["good_for_s"] == found.evidence.good_for_s


def test_colder_surroundings_leave_less_time():
    cold = same_grade("1/4 in") + '\n[site]\ntemperature = "-10 C"\n'
    usual, less = preheat(planned(same_grade("1/4 in"))), preheat(planned(cold))
    assert less.evidence.good_for_s < usual.evidence.good_for_s


@pytest.mark.parametrize(
    "text",
    [
        same_grade("0.083 in"),  # room temperature is enough
        same_grade("2 in", filler="ERNiCr-3", hydrogen=None),  # 500 F against 350 F: no window
    ],
)
def test_no_clock_where_nothing_is_heated_or_no_reading_can_comply(text):
    found = preheat(planned(text))
    assert found.evidence.good_for_s is None
    assert METHOD not in [r.method for r in found.basis]


def test_a_frozen_plan_comes_back_whole():
    plan = planned(same_grade("1/4 in", job='stress_relief = "shop 4130"'))
    assert plan_from_act(plan_to_act(plan)).steps == plan.steps


def test_a_plan_frozen_before_comes_back_and_is_frozen_again_unchanged():
    """What a signature covers is a digest of the step: a key that came later must not appear in an older one."""
    old = plan_to_act(planned(same_grade("1/4 in")))
    for frozen in old["steps"]:
        for asked in frozen["requirements"]:
            asked["evidence"].pop("good_for_s", None)
            asked["basis"] = [entry for entry in asked["basis"] if "value_to" not in entry]
    again = plan_from_act(old)
    assert preheat(again).evidence.good_for_s is None
    assert plan_to_act(again)["steps"] == old["steps"]
