"""A changed sheet in mid-job: what the revision leaves alone stays signed, what it changes is judged anew."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from acts_kit import ADA, BRAM, NUMBER, Bench, issued_copy, sheet

from traveler.acts.change import Outcome
from traveler.acts.issue import close, revise
from traveler.acts.look import look
from traveler.acts.readings import attach, retry
from traveler.errors import BadInput, BadSheet


def revised(bench: Bench, raw: bytes) -> Outcome:
    return revise(bench.shop, bench.clock, ADA, bench.number, raw, "the drawing changed")


def test_another_title_leaves_every_signature(bench: Bench) -> None:
    bench.through_everything()
    outcome = revised(bench, sheet(title="Link tab, renamed"))
    assert (outcome.recorded, outcome.message) == (True, "job A-101: revision 2 issued")
    assert close(bench.shop, bench.clock, ADA, NUMBER).recorded
    assert [entry["revision"] for entry in look(bench.shop, bench.clock, NUMBER)["revisions"]] == [1, 2]


def test_a_thicker_plate_is_judged_by_its_own_limits(bench: Bench) -> None:
    bench.through_preheat()
    revised(bench, sheet(thickness="3/8 in"))
    step = look(bench.shop, bench.clock, NUMBER)["steps"][0]
    assert (step["state"], step["accepted"]["stands"]) == ("performed", False)
    assert step["requirements"][0]["verdict"] == "not met"  # 320 F where 400 F is asked for now
    assert not bench.accept(10).recorded
    revised(bench, sheet())
    # The content is again exactly what was accepted.
    assert look(bench.shop, bench.clock, NUMBER)["steps"][0]["state"] == "accepted"


@pytest.mark.parametrize(
    ("route", "said"),
    [
        (((20, "weld"), (30, "hydrogen release"), (40, "inspect")), "step 10"),
        (((10, "cut"), (15, "preheat"), (20, "weld"), (30, "hydrogen release"), (40, "inspect")), "step 10"),
    ],
)
def test_what_was_read_or_signed_is_not_dropped(
    bench: Bench, route: tuple[tuple[int, str], ...], said: str
) -> None:
    bench.preheated()
    refused = revised(bench, sheet(route=route))
    assert not refused.recorded
    assert said in refused.reasons[0]
    assert len(bench.bodies()) == 3


def test_a_signature_does_not_pass_to_another_kind_of_step(bench: Bench) -> None:
    """Signed as slow cooled: the same number may not come to mean an inspection."""
    bench.perform(30)
    other = sheet(route=((10, "preheat"), (20, "weld"), (30, "inspect"), (40, "hydrogen release")))
    refused = revised(bench, other)
    assert not refused.recorded
    assert "step 30 is signed or has files as hydrogen release of J1" in refused.reasons[0]
    attach(bench.shop, bench.clock, BRAM, NUMBER, 40, "edge.jpg", b"invented", "photo")
    assert len(revised(bench, other).reasons) == 2


@pytest.fixture
def hardness(tmp_path: Path) -> Iterator[Bench]:
    yield from issued_copy(tmp_path / "h.traveler", with_hardness("350 HV"))


def with_hardness(limit: str) -> bytes:
    return sheet().replace(b'units = "inch"', f'units = "inch"\nhardness_limit = "{limit}"'.encode())


def test_readings_in_one_hardness_scale_are_not_held_against_another(hardness: Bench) -> None:
    hardness.record(40, "hardness", "340 HV")
    refused = revised(hardness, with_hardness("35 HRC"))
    assert not refused.recorded
    assert "hardness" in refused.reasons[0]
    assert revised(hardness, with_hardness("330 HV")).recorded
    assert not revised(hardness, sheet()).recorded


def test_a_sheet_of_another_job_or_with_faults_is_refused(bench: Bench) -> None:
    with pytest.raises(BadInput, match='"A-102", not of job "A-101"'):
        revised(bench, sheet().replace(b'"A-101"', b'"A-102"'))
    with pytest.raises(BadSheet):
        revised(bench, b"[job]")
    assert len(bench.bodies()) == 1


def test_a_step_put_in_before_a_signed_one_holds_up_the_closing(bench: Bench) -> None:
    bench.through_everything()
    route = ((5, "cut"), (10, "preheat"), (20, "weld"), (30, "hydrogen release"), (40, "inspect"))
    assert revised(bench, sheet(route=route)).recorded
    assert close(bench.shop, bench.clock, ADA, NUMBER).reasons == ("step 5 cut is not accepted",)


def test_a_minimum_of_ones_own_prints_as_an_exception_with_name_and_reason(bench: Bench) -> None:
    own = (
        b'restraint = "medium"\npreheat = { at_least = "350 F", by = "Eva Lindqvist", because = "damp site" }'
    )
    bench.through_preheat()
    revised(bench, sheet().replace(b'restraint = "medium"', own))
    seen = look(bench.shop, bench.clock, NUMBER)
    assert seen["steps"][0]["requirements"][0]["verdict"] == "not met"
    assert "joint J1: preheat at least 350 °F is Eva Lindqvist's own: damp site" in seen["exceptions"]
    # Where a method asks for more it does not govern, and is no exception.
    revised(bench, sheet().replace(b'restraint = "medium"', own.replace(b"350", b"250")))
    assert not [text for text in look(bench.shop, bench.clock, NUMBER)["exceptions"] if "own" in text]


def test_a_reading_that_a_revision_lets_in_is_said(bench: Bench) -> None:
    """300 F is asked for at 1/4 in, 200 F at 1/8 in: by one change of the sheet 280 F complies."""
    bench.record(10, "preheat temperature", "280 F", place="web")
    bench.record(10, "preheat temperature", "310 F", place="flange")
    bench.perform(10)
    assert not bench.accept(10).recorded
    assert revised(bench, sheet(thickness="1/8 in")).recorded
    assert bench.accept(10).recorded
    bench.record(10, "preheat temperature", "290 F", place="rib")
    told = [
        said for said in look(bench.shop, bench.clock, NUMBER)["exceptions"] if "outside the limit" in said
    ]
    assert told == [
        "step 10, reading 1 was outside the limit of revision 1 (280 °F is below 300 °F) and is inside that of "
        "revision 2"
    ]


def test_a_preheat_that_was_tried_again_is_not_let_in_by_a_revision(bench: Bench) -> None:
    bench.record(10, "preheat temperature", "280 F", place="web")
    assert retry(bench.shop, bench.clock, BRAM, NUMBER, 10, "preheat temperature", None, "heated on").recorded
    bench.preheated()
    assert revised(bench, sheet(thickness="1/8 in")).recorded
    exceptions = look(bench.shop, bench.clock, NUMBER)["exceptions"]
    assert not any("outside the limit" in said for said in exceptions)
