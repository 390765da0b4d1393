"""A part made again in the app: what is asked anew, the differences with their reasons, and what is issued."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from closed_kit import CLOSED, IDA, build_with_part
from shop_copies import copied
from textual.pilot import Pilot
from tui_kit import TickingClock, app_on, one_line, press, put, screen_text, typed

from traveler.acts.routes import current_sheet
from traveler.job.sheet_toml import parse_toml
from traveler.record.shop import Shop
from traveler.tui.screens.again import CompareWith, Differences, MakeAgain
from traveler.tui.screens.job import Job
from traveler.tui.screens.sheet_page import SheetPage
from traveler.tui.screens.sheet_review import SheetReview
from traveler.tui.session import Session

SIZE = (80, 24)
HEAVY = """
[job]
number = "X-1"
title = "Rocker, invented"
units = "metric"
decides = "welding engineer"

[[material]]
id = "body"
grade = "25CrMo4"
condition = "normalized"
heat_number = "A100"
certificate = "3.1"
composition = { C = 0.25, Si = 0.25, Mn = 0.70, Cr = 1.00, Mo = 0.20 }

[[filler]]
id = "rod"
classification = "ER70S-2"
hydrogen = "H5"

[[joint]]
id = "J1"
type = "butt"
process = "121"
filler = "rod"
volts = 25
amps = 400
travel = "600 mm/min"
restraint = "high"
preheat = { at_least = "120 C", by = "Ada Lund", because = "a coupon [7]" }
member = [ { material = "body", form = "plate", thickness = "20 mm" },
           { material = "body", form = "plate", thickness = "20 mm" } ]
"""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    path = tmp_path / "parts.traveler"
    copied(path, build_with_part)
    with Shop.open(path) as opened:
        yield opened


@pytest.fixture
def session(shop: Shop) -> Session:
    return Session(shop, TickingClock(), IDA)


async def opened(pilot: Pilot[Any], session: Session, number: str, key: str) -> None:
    await pilot.app.push_screen(Job(session, number))
    await press(pilot, key)


@pytest.mark.slow
async def test_a_richer_heat_is_asked_for_explained_and_issued(shop: Shop, session: Session) -> None:
    put(shop, HEAVY)
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await opened(pilot, session, "X-1", "m")
        assert isinstance(app.screen, MakeAgain)
        await press(pilot, "f10")
        text = one_line(screen_text(app))
        assert (
            "X-1 had: grade 25CrMo4, condition normalized, heat A100, certificate 3.1, analysis C 0.25"
            in text
        )
        assert "(X-1 had A100)" in text
        await press(pilot, *typed("B200"), "tab", "3", "tab")
        await press(pilot, *typed("C 0.28, Si 0.25, Mn 0.70, Cr 1.00, Mo 0.20"), "f10")
        assert isinstance(app.screen, SheetPage)  # the lot of the rod was never said, and may be now
        assert app.screen.page == "filler[0]"
        await press(pilot, "f10")
        await pilot.pause()
        assert isinstance(app.screen, Differences)
        text = one_line(screen_text(app))
        told = "because the carbon of body is 0.28 %, was 0.25 % (heat B200, was A100)"
        # By method B 697 + 53 Q times the carbon, Q = 1 kJ/mm: 750 * 0.03 = 22.5 more.
        assert "the minimum rises from 150 °C (302.0 °F) to 172 °C (341.6 °F)" in text
        assert told in text
        await press(pilot, "end")
        text = one_line(screen_text(app))
        assert (
            "Joint J1, carried along: volts 25, amps 400, travel 600 mm/min, preheat at least 120 C by Ada Lund "
            "because a coupon [7]"
        ) in text
        await press(pilot, "q")
        assert isinstance(app.screen, SheetReview)
        await press(pilot, "f10")
        await press(pilot, "f10")
        await pilot.pause()
    new = parse_toml(current_sheet(shop, "X-2"))
    old = parse_toml(HEAVY)
    assert new["job"]["made_from"] == "X-1"
    assert new["joint"] == old["joint"]
    assert new["material"][0]["heat_number"] == "B200"
    assert session.job("X-2")["made_from"]["job"] == "X-1"


async def test_the_same_heat_and_a_size_as_built_lead_to_the_differences(
    shop: Shop, session: Session
) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await opened(pilot, session, "A-101", "m")
        assert "2 as built 37.7 mm" in one_line(screen_text(app))
        await press(pilot, "tab", "2", "tab", "2", "tab", "2", "f10")
        await pilot.pause()
        assert isinstance(app.screen, Differences)
        text = one_line(screen_text(app))
        assert (
            "dimension D1: 37.4 mm (1.472 in) to 38 mm (1.496 in), was 37.7 mm (1.484 in) to 38.3 mm (1.508 in)"
            in text
        )
        assert "taken as nominal; the sheet before had 38.0 mm" in text
        assert "stricter" not in text
        await press(pilot, "q")
        assert "again beside A-101: 1 otherwise; d shows them" in one_line(screen_text(app))


async def test_a_new_job_under_way_is_put_away_only_when_asked_twice(shop: Shop, session: Session) -> None:
    session.new_jobs.keep({"job.number": "N-1", "job.title": "another"}, "job")
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await opened(pilot, session, "A-101", "m")
        await press(pilot, "f10")
        assert "a new job is begun and not issued" in one_line(screen_text(app))
        assert session.new_jobs.begun["job.number"] == "N-1"
        await press(pilot, "f10")
        assert isinstance(app.screen, SheetPage)
        assert session.new_jobs.begun["job.made_from"] == "A-101"


async def test_a_number_that_is_taken_is_refused_at_its_field(shop: Shop, session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await opened(pilot, session, "A-101", "m")
        await press(pilot, "backspace", *typed("A-102"), "f10")
        assert 'job "A-102" is in this shop already' in one_line(screen_text(app))
        assert isinstance(app.screen, MakeAgain)


async def test_two_jobs_are_laid_side_by_side(shop: Shop, session: Session) -> None:
    thicker = CLOSED.replace("A-101", "A-103").replace('"5 mm"', '"60 mm"')
    put(shop, thicker.replace('units = "metric"', 'units = "metric"\nmade_from = "A-101"'))
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await opened(pilot, session, "A-103", "c")
        assert isinstance(app.screen, CompareWith)
        assert app.screen.values() == {"job": "A-101"}
        await press(pilot, "f10")
        assert isinstance(app.screen, Differences)
        text = one_line(screen_text(app))
        assert "A-103 beside A-101" in text
        assert "the thickness of member 1 of J1 is 60 mm, was 5 mm" in text
        await press(pilot, "q", "c", "backspace", *typed("Z-9"), "f10")
        assert "there is no other job of that number" in one_line(screen_text(app))
