"""The routes of a joint on the screen: the same answers as the command, charts in view, usable on a phone."""

import pytest
from tui_kit import (
    BRACKET,
    HEAD,
    THREE_STEPS,
    TickingClock,
    accept_step,
    app_on,
    one_line,
    press,
    put,
    screen_text,
)

from traveler.acts.change import Entry, append
from traveler.acts.issue import plan_sheet, revise
from traveler.acts.routes import weigh_routes
from traveler.job.fold import ISSUED
from traveler.job.plan_json import plan_to_act
from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.report.chart_text import Size
from traveler.report.routes_text import combinations, why_not
from traveler.tui.routes_wording import LEAST_CHART_WIDTH, as_welded_lines, relieved_lines
from traveler.tui.screens.job import Job
from traveler.tui.screens.routes import Joints, Routes
from traveler.tui.screens.step import Step
from traveler.tui.session import Session

LIMITED = BRACKET.replace(
    'decides = "welding engineer"', 'decides = "welding engineer"\nhardness_limit = "350 HV"'
)
METAL = "[red]$x {y} A36"
NASTY = "[A36] [b]x 支"
TWO_JOINTS = (
    HEAD.format(number='"H-020"', title='"Two joints, invented"')
    + HEAD[HEAD.index("[[joint]]") :].format().replace('"J1"', f'"{NASTY}"').replace("1/4 in", "3/8 in")
    + THREE_STEPS
)
TWO_JOINTS = TWO_JOINTS.replace('id = "plate"', f'id = "{METAL}"').replace(
    'material = "plate"', f'material = "{METAL}"'
)
HEADING = "predictions, nothing recommended"


def session_on(path, *sheets: str) -> Session:
    shop = Shop.create(path)
    for sheet in sheets:
        put(shop, sheet)
    return Session(shop, TickingClock(), Person("Ida Weld"))


async def whole_page(pilot, app) -> str:
    """Everything on the page, by paging to its end."""
    await press(pilot, "home")
    seen = [screen_text(app)]
    for _ in range(60):
        await press(pilot, "pagedown")
        if screen_text(app) == seen[-1]:
            return "\n".join(seen)
        seen.append(screen_text(app))
    raise AssertionError("the page has no end")


async def test_the_screen_gives_the_answers_of_the_command(tmp_path) -> None:
    # What the command prints is held against the standards in tests/job/test_routes.py; here it must be the same.
    (joint,) = weigh_routes(LIMITED.encode())["joints"]
    session = session_on(tmp_path / "shop.traveler", LIMITED)
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "o")
        assert isinstance(app.screen, Routes)
        first = one_line(screen_text(app))
        satisfying = sum(route["satisfies"] for route in joint["routes"])
        assert f"{satisfying} of {len(joint['routes'])} combinations" in first
        assert HEADING in first
        assert "Predictions with their scatter; nothing is recommended." in first
        page = one_line(await whole_page(pilot, app))
        rows = list(combinations(joint))
        assert {row.answer.split(":")[0].split(",")[0] for row in rows} == {"yes", "no"}
        for row in rows:
            assert one_line(f"{row.label} {' '.join(row.hours)} {row.answer}") in page
        assert all(one_line(reason.split(": ")[1]) in page for reason in why_not(joint))
        assert "no: hardness after welding" in page
        assert "WHAT THE NUMBERS REST ON" in page
        await press(pilot, "q")
        assert isinstance(app.screen, Job)


@pytest.mark.parametrize("ascii_only", [False, True])
async def test_each_chart_is_in_view_as_a_whole_at_80x24(tmp_path, monkeypatch, ascii_only: bool) -> None:
    monkeypatch.setenv("TRAVELER_ASCII", "1" if ascii_only else "0")
    app = app_on(session_on(tmp_path / "shop.traveler", LIMITED))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "o")
        for key, title, upright, axis, legend in (
            ("2", "AS WELDED", "minimum", "preheat, ", "band"),
            ("3", "AFTER RELIEF", "soak from: shop 4130", "relief temperature, ", "limit 350 HV"),
        ):
            await press(pilot, key)
            text = screen_text(app)
            lines = text.splitlines()
            assert lines[1].strip().startswith(title)
            assert all(words in text for words in (upright, axis, legend, "limit 350 HV"))
            limit = ("-" if ascii_only else "─") * 12
            assert any(limit in line for line in lines)
            assert max(len(line) for line in lines) <= 80
            body = "".join(line[:78] for line in lines[1:-2])
            assert body.isascii() is ascii_only
        if ascii_only:
            page = "".join(line[:78] for line in (await whole_page(pilot, app)).splitlines())
            assert page.isascii()
            assert "300 F (148.9 C)" in page


@pytest.mark.parametrize("width", [LEAST_CHART_WIDTH, 78, 107])
@pytest.mark.parametrize("plain", [False, True])
def test_a_chart_fits_the_width_it_is_given(width: int, plain: bool) -> None:
    found = weigh_routes(LIMITED.encode())
    (joint,) = found["joints"]
    for draw in (as_welded_lines, relieved_lines):
        lines = draw(joint, found["units"], plain, Size(width, 9))
        drawn = [line for line in lines if len(line) > 6 and line[6] in "|│"]
        assert len(drawn) == 9
        assert max(len(line) for line in drawn) <= width


@pytest.mark.slow
async def test_on_a_phone_everything_can_be_reached_and_the_points_stand_in_sentences(tmp_path) -> None:
    (joint,) = weigh_routes(LIMITED.encode())["joints"]
    app = app_on(session_on(tmp_path / "shop.traveler", LIMITED))
    async with app.run_test(size=(40, 12)) as pilot:
        await press(pilot, "enter", "o")
        assert "nothing recommended" in one_line(screen_text(app))
        assert "q Back" in screen_text(app)
        for key, title in (("2", "AS WELDED"), ("3", "AFTER RELIEF"), ("4", "GROUNDS"), ("1", "Predictions")):
            await press(pilot, key)
            assert any(line.strip().startswith(title) for line in screen_text(app).splitlines()[1:4])
        page = await whole_page(pilot, app)
        assert max(len(line) for line in page.splitlines()) <= 40
        # One line at a time, so that no line falls between two pages.
        await press(pilot, "2", "down", "down", "down")
        text = one_line(screen_text(app))
        point = joint["charts"]["hardness_against_preheat"][0]
        low, high = point["hardness"][0]["hv"]
        assert f"{point['preheat']}: plate {low} to {high} HV" in text


async def test_resizing_draws_the_charts_anew(tmp_path) -> None:
    app = app_on(session_on(tmp_path / "shop.traveler", LIMITED))
    async with app.run_test(size=(40, 12)) as pilot:
        await press(pilot, "enter", "o")
        for width, height, rows in ((120, 40, 16), (80, 24, 10)):
            await pilot.resize_terminal(width, height)
            await pilot.pause()
            await press(pilot, "2")
            drawn = [line for line in screen_text(app).splitlines() if line[7:8] == "│"]
            assert len(drawn) == rows
            assert isinstance(app.screen, Routes)


@pytest.mark.slow
async def test_one_of_several_joints_is_chosen_and_its_name_reads_as_typed(tmp_path) -> None:
    session = session_on(tmp_path / "shop.traveler", TWO_JOINTS)
    app = app_on(session)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "o")
        assert isinstance(app.screen, Joints)
        text = screen_text(app)
        assert "T fillet, process 141" in text
        assert NASTY in text
        await press(pilot, "down", "enter")
        assert isinstance(app.screen, Routes)
        assert f"routes of joint {NASTY}" in screen_text(app)
        page = one_line(await whole_page(pilot, app))
        assert "3/8 in (9.5 mm)" in page
        for words in (
            "Predicted hardness beside the weld as welded, {}, against",
            "Martensite of {}: Ms",
            "M90 of {}",
        ):
            assert words.format(METAL) in page
        await press(pilot, "q")
        assert isinstance(app.screen, Joints)


async def test_from_a_step_its_own_joint_is_opened(session: Session) -> None:
    accept_step(session, "H-014", 10)
    app = app_on(session, "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "  o Routes" in screen_text(app)
        await press(pilot, "o")
        assert isinstance(app.screen, Routes)
        assert "routes of joint J1" in screen_text(app)
        await press(pilot, "q")
        assert isinstance(app.screen, Step)


async def test_a_sheet_that_cannot_be_planned_is_said_and_the_key_then_stands_in_brackets(tmp_path) -> None:
    # As of a later library that no longer knows a grade: the record keeps the sheet as it was.
    shop = Shop.create(tmp_path / "shop.traveler")
    act = {
        "shop": shop.shop_id,
        "revision": 1,
        "because": None,
        "program": "0",
        "decision_rule": "simple acceptance",
    }
    text = BRACKET.replace('"4130"', '"no such grade"')
    with shop.write() as writing:
        plan = plan_to_act(plan_sheet(BRACKET.encode()))
        append(
            writing,
            "H-014",
            Person("A"),
            Entry(ISSUED, {**act, "sheet": text, "plan": plan}),
            TickingClock().now(),
        )
    app = app_on(Session(shop, TickingClock(), Person("Ida Weld")), "H-014")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "escape")
        assert isinstance(app.screen, Job)
        assert " o Routes" in screen_text(app)
        await press(pilot, "o")
        assert isinstance(app.screen, Job)
        assert "no such grade" in one_line(screen_text(app))
        assert "(o Routes)" in screen_text(app)


async def test_a_revision_made_meanwhile_is_weighed_anew(tmp_path) -> None:
    path = tmp_path / "shop.traveler"
    app = app_on(session_on(path, BRACKET))
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "enter", "o")
        assert "P1 300 °F" in one_line(screen_text(app))
        with Shop.open(path) as other:
            changed = BRACKET.replace("1/4 in", "3/8 in").encode()
            revise(other, TickingClock(), Person("Otto Plan"), "H-014", changed, "thicker plate")
        app.screen.look_again()
        await pilot.pause()
        text = one_line(screen_text(app))
        assert "From the sheet of revision 2" in text
        assert "P1 400 °F" in text  # the grade table of 4130 asks 400 F up to 1/2 in
