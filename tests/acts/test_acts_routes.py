"""The routes of a stored job: from the sheet of its present revision, and nothing is written."""

import pytest
from acts_kit import ADA, NUMBER, Bench, sheet

from traveler.acts.issue import revise
from traveler.acts.routes import current_sheet, weigh_job_routes, weigh_routes
from traveler.errors import TravelerError


def test_a_stored_job_is_weighed_by_the_sheet_of_its_present_revision(bench: Bench) -> None:
    first, second = sheet(), sheet(thickness="3/8 in")
    assert current_sheet(bench.shop, NUMBER).encode() == first
    assert weigh_job_routes(bench.shop, NUMBER) == weigh_routes(first)
    revise(bench.shop, bench.clock, ADA, NUMBER, second, "thicker tab")
    assert current_sheet(bench.shop, NUMBER).encode() == second
    (joint,) = weigh_job_routes(bench.shop, NUMBER, "J1")["joints"]
    # 4130 practice: 300 F up to 1/4 in, 400 F up to 1/2 in [common practice, no published source]
    assert joint["preheats"][0]["preheat"] == "400 °F (204.4 °C)"


def test_weighing_writes_nothing(bench: Bench) -> None:
    before = len(bench.shop.events(f"job {NUMBER}"))
    weigh_job_routes(bench.shop, NUMBER)
    assert len(bench.shop.events(f"job {NUMBER}")) == before


def test_a_job_that_is_not_there_is_said(bench: Bench) -> None:
    with pytest.raises(TravelerError, match='there is no job "nowhere" in this shop'):
        weigh_job_routes(bench.shop, "nowhere")
