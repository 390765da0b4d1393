"""The board: what an owner sees at once, the views, finding, and what others write meanwhile."""

from pathlib import Path

import pytest
from textual.geometry import Size
from tui_kit import (
    BRACKET,
    HEAD,
    THREE_STEPS,
    TickingClock,
    accept_step,
    app_on,
    comply,
    one_line,
    press,
    put,
    sign,
    typed,
)
from tui_kit import screen_text as shown

from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.app import TravelerApp
from traveler.tui.compat import roomy
from traveler.tui.screens.board import Board
from traveler.tui.screens.help import Help
from traveler.tui.screens.job import Job
from traveler.tui.session import Session
from traveler.tui.signed_act import perform_step
from traveler.tui.widgets.job_list import JobList

SIZE = (80, 24)


def more_jobs(path: Path, count: int) -> None:
    with Shop.open(path) as shop:
        for number in range(count):
            names = {"number": f'"K-{number:02d}"', "title": f'"Stay [{number}] [/], invented"'}
            put(shop, HEAD.format(**names) + THREE_STEPS)


@pytest.fixture
def many(shop_path: Path, session: Session) -> Session:
    more_jobs(shop_path, 20)
    return session


def board_of(app: TravelerApp) -> Board:
    assert isinstance(app.screen, Board)
    return app.screen


async def test_what_stands_where_is_seen_at_once(shop_path: Path, session: Session) -> None:
    more_jobs(shop_path, 2)
    comply(session, "K-01", 10)
    accept_step(session, "H-014", 10)
    app = app_on(session)
    async with app.run_test(size=SIZE):
        text = shown(app)
    lines = text.splitlines()
    assert lines[0].startswith(" all open: 3 jobs, those that need somebody first")
    assert lines[0].endswith("Ida Weld, as stated")
    assert lines[1].strip() == "3 jobs in shop.traveler: 1 to sign, 2 to do"
    assert [line.split()[0] for line in lines[2:8:2]] == ["K-01", "H-014", "K-00"]
    assert lines[2].strip() == "K-01      * to sign  at 10 Lay out the parts, Stay [1] [/], invented"
    assert lines[3].strip() == "waits for: not yet signed as performed"
    assert "> to do    at 40 Preheat the bracket joint, Upright bracket, inve..." in lines[4]
    assert "waits for: preheat temperature not shown: 2 readings needed, none..." in lines[5]
    assert "Otto Plan, H-014: step 10 was accepted" in one_line(text)


async def test_v_goes_through_the_views_and_the_heading_names_each(session: Session) -> None:
    comply(session, "H-014", 10)
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        headings = []
        for _ in range(6):
            headings.append(shown(app).splitlines()[0].split(",")[0].strip())
            await press(pilot, "v")
    assert headings == [
        "all open: 1 job", "blocked: 0 jobs", "to sign: 1 job", "due: 0 jobs", "ended: 0 jobs", "all open: 1 job",
    ]  # fmt: skip


async def test_an_empty_view_says_how_to_get_on(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "v")
        assert "No job stands here. v shows the next view" in shown(app)
        await press(pilot, "enter")
        assert "Open job: there is no job here" in shown(app)


@pytest.mark.slow
async def test_what_is_typed_behind_the_slash_finds_and_letters_are_text(many: Session) -> None:
    app = app_on(many)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "slash", "s", "t", "a", "y", "space", "k", "minus", "1")
        text = shown(app)
        assert 'found "stay k-1": 10 jobs' in text
        assert "/ stay k-1" in text
        await press(pilot, *"vqnr?/")
        assert "/ stay k-1vqnr?/" in shown(app)
        assert "No job stands here" in shown(app)
        await press(pilot, *["backspace"] * 6, "down", "enter")
        board = board_of(app)
        assert board.rows.has_focus
        assert board.rows.key == "K-18"
        await press(pilot, "enter")
        assert isinstance(app.screen, Job)
        await press(pilot, "escape")
        assert 'found "stay k-1": 10 jobs' in shown(app)
        assert board_of(app).rows.key == "K-18"
        await press(pilot, "escape")
        assert "all open: 21 jobs" in shown(app)
        assert board_of(app).rows.key == "K-18"
        await press(pilot, "escape")
        assert isinstance(app.screen, Board)


async def test_found_are_title_part_person_and_heat_number_with_brackets_as_text(many: Session) -> None:
    accept_step(many, "K-07", 10)
    app = app_on(many)
    async with app.run_test(size=SIZE) as pilot:
        for text, count in (
            ("[7]", 1),
            ("[/]", 20),
            ("ida weld", 1),
            ("a7731", 21),
            ("\x1b[2J", 0),
            ("a'b\"%_", 0),
        ):
            await press(pilot, "slash", *typed(text), "enter")
            assert f"{count} job" in shown(app).splitlines()[0], text
            await press(pilot, "escape")


async def test_the_help_opens_from_the_find_line(session: Session) -> None:
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "slash", "x", "f1")
        assert isinstance(app.screen, Help)
        await press(pilot, "escape", "y", "enter")
        assert 'found "xy"' in shown(app)


@pytest.mark.slow
async def test_the_cursor_walks_through_all_jobs_and_back(many: Session) -> None:
    app = app_on(many)
    async with app.run_test(size=SIZE) as pilot:
        keys = [board_of(app).rows.key]
        for _ in range(25):
            await press(pilot, "down")
            keys.append(board_of(app).rows.key)
        walked = list(dict.fromkeys(keys))
        assert len(walked) == 21
        for _ in range(25):
            await press(pilot, "up")
        assert board_of(app).rows.key == walked[0]
        await press(pilot, "end")
        assert board_of(app).rows.key == walked[-1]
        await press(pilot, "home", "pagedown", "pagedown", "pagedown", "pagedown")
        assert board_of(app).rows.key == walked[-1]
        await press(pilot, "pageup", "pageup", "pageup", "pageup")
        assert board_of(app).rows.key == walked[0]


async def test_only_the_lines_in_view_are_at_hand(many: Session) -> None:
    app = app_on(many)
    async with app.run_test(size=SIZE) as pilot:
        for keys in (["down"] * 14, ["end"], ["pageup"], ["home"]):
            await press(pilot, *keys)
            rows = board_of(app).rows
            assert 0 < len(rows._lines) <= rows.size.height // 2


@pytest.mark.slow
async def test_what_others_write_is_seen_and_the_cursor_keeps_its_job_and_its_place(
    shop_path: Path, many: Session
) -> None:
    app = app_on(many)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, *["down"] * 3)
        key = board_of(app).rows.key
        assert key == "K-16"
        before = next(at for at, line in enumerate(shown(app).splitlines()) if key in line)
        with Shop.open(shop_path) as other:
            elsewhere = Session(other, TickingClock(), Person("Bo Other"))
            comply(elsewhere, "K-02", 10)
        await pilot.pause(2.0)
        lines = shown(app).splitlines()
        assert "1 to sign, 20 to do" in lines[1]
        assert "Bo Other, K-02: step 10, reading" in one_line(shown(app))
        assert board_of(app).rows.key == key
        assert next(at for at, line in enumerate(lines) if key in line) == before


@pytest.mark.slow
async def test_a_job_that_leaves_the_view_leaves_the_cursor_at_its_place(
    shop_path: Path, many: Session
) -> None:
    for number in ("K-03", "K-05", "K-09"):
        comply(many, number, 10)
    app = app_on(many)
    async with app.run_test(size=SIZE) as pilot:
        await press(pilot, "v", "v", "down")
        assert "to sign: 3 jobs" in shown(app)
        assert board_of(app).rows.key == "K-05"
        with Shop.open(shop_path) as other:
            elsewhere = Session(other, TickingClock(), Person("Bo Other"))
            requirement = elsewhere.job("K-05")["steps"][0]["requirements"][0]
            elsewhere.record("K-05", 10, requirement, {"value": "no"})
        await pilot.pause(2.0)
        assert "to sign: 2 jobs" in shown(app)
        assert board_of(app).rows.key == "K-03"


async def test_coming_due_is_drawn_though_nobody_wrote(session: Session) -> None:
    sign(session, "H-014", 10, perform_step(10, "other"), "Ida Weld")
    app = app_on(session)
    async with app.run_test(size=SIZE) as pilot:
        board = board_of(app)
        assert not board.over()
        clock = session._clock
        assert isinstance(clock, TickingClock)
        clock._now = clock._now.replace(day=15)
        assert board.over()
        await pilot.pause(1.3)
        assert "yesterday Ida Weld, H-014: step 10 was signed as performed" in shown(app)
        assert not board.over()


@pytest.mark.parametrize("size", [(40, 12), (60, 20), (80, 23), (100, 30), (160, 50), (1, 1), (200, 3)])
async def test_every_size_is_filled_and_nothing_is_too_wide(many: Session, size: tuple[int, int]) -> None:
    app = app_on(many)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "end", "home", "down")
        text = shown(app)
        assert all(len(line) <= roomy(Size(*size)).width for line in text.splitlines())
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        await press(pilot, "home")
        text = shown(app)
        assert text.count("> to do") == board_of(app).query_one(JobList).size.height // 2
        assert "all open: 21 jobs" in text


async def test_wide_windows_have_the_newest_acts_in_a_column(session: Session) -> None:
    accept_step(session, "H-014", 10)
    app = app_on(session)
    async with app.run_test(size=(160, 50)):
        (line,) = [line for line in shown(app).splitlines() if "H-014: step 10 was accepted" in line]
        assert "waits for: preheat temperature" in shown(app)
        assert line.index("H-014: step 10") > 100


async def test_sixteen_colours_have_a_cursor_in_reverse(many: Session) -> None:
    app = app_on(many, plain=True)
    async with app.run_test(size=SIZE):
        rows = board_of(app).rows
        first, third = rows.render_line(0), rows.render_line(2)
        assert all(segment.style is not None and segment.style.reverse for segment in first)
        assert not any(segment.style is not None and segment.style.reverse for segment in third)


@pytest.mark.slow
async def test_an_empty_file_says_what_to_do(tmp_path: Path) -> None:
    with Shop.create(tmp_path / "empty.traveler") as shop:
        app = app_on(Session(shop, TickingClock(), Person("Ida Weld")))
        async with app.run_test(size=SIZE) as pilot:
            assert "traveler new SHEET.toml" in shown(app)
            await press(pilot, "down", "pagedown", "end", "v", "slash", "x", "enter", "escape")
            assert "traveler new SHEET.toml" in shown(app)
            with Shop.open(tmp_path / "empty.traveler") as other:
                put(other, BRACKET)
            await pilot.pause(1.5)
            await press(pilot, "v", "v", "v", "v")
            assert "H-014" in shown(app)
