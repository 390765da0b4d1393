"""Recorded charts on the screen: the list, a chart with its failing places, and the form that attaches a file.

Courses are constructed, computed by hand, with readings every 2 min in °F. SLOW: 70 to 1120 at 150 F° an hour, held
150 min, down to 520. STEEP: 70 to 800 at 150 F° an hour, to 1115 at 450, held 150 min, down to 515. The second couple
is 4 min behind. Held against shop 4130: 1100 to 1150 °F for 60 min, 400 F° an hour up.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from courses import SLOW, STEEP, Course, at
from tui_kit import HEAD, TickingClock, app_on, one_line, press, put, screen_text, typed

from traveler.acts.issue import cancel, revise
from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.screens.attach import AttachChart
from traveler.tui.screens.charts import ChartPage, Charts
from traveler.tui.screens.step import Step
from traveler.tui.session import Session

pytestmark = pytest.mark.slow

NUMBER = "H-030"
WELD, RELIEF, INSPECT = 10, 20, 30
SHEET = (
    HEAD.format(number=f'"{NUMBER}"', title='"Upright bracket, invented"').replace(
        "\n\n[[material]]", '\nstress_relief = "shop 4130"\n\n[[material]]', 1
    )
    + f'\n[[step]]\nnumber = {WELD}\nkind = "weld"\njoint = "J1"\n'
    + f'\n[[step]]\nnumber = {RELIEF}\nkind = "stress relief"\n'
    + f'\n[[step]]\nnumber = {INSPECT}\nkind = "inspect"\n'
)
NAMES = "TC1 (°F),TC2 (°F)"
NO_UNIT = "TC1,TC2"


def elapsed(course: Course = SLOW, names: str = NAMES, couples: int = 2) -> str:
    lines = [f"Time (min),{names}"]
    for minute in range(0, course[-1][0] + 1, 2):
        cells = (f"{at(course, minute - 4 * lag):.2f}" for lag in range(couples))
        lines.append(",".join([str(minute), *cells]))
    return "\n".join(lines) + "\n"


def clocked(names: str = NAMES) -> str:
    """SLOW from 8:00 on 3 April or on 4 March: nothing in the file tells which."""
    start = datetime(2026, 4, 3, 8, 0)
    head, *rows = elapsed(names=names).splitlines()
    lines = [head.replace("Time (min)", "Time")]
    for row in rows:
        minute, values = row.split(",", 1)
        lines.append(f"{start + timedelta(minutes=int(minute)):%d/%m/%Y %H:%M},{values}")
    return "\n".join(lines) + "\n"


@pytest.fixture
def session(tmp_path: Path) -> Iterator[Session]:
    with Shop.create(tmp_path / "shop.traveler") as shop:
        put(shop, SHEET)
        yield Session(shop, TickingClock(), Person("Ida Weld"))


def written(folder: Path, text: str, name: str = "relief.csv") -> str:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def attach(session: Session, file: str, step: int = RELIEF, **fields: str) -> None:
    form = dict.fromkeys(("couples", "furnace", "spares", "mapping", "answer"), "")
    session.attach_chart(NUMBER, step, "test", {**form, "file": file, **fields}, None)


def charts(session: Session, step: int = RELIEF) -> list[dict[str, Any]]:
    steps = session.job(NUMBER)["steps"]
    return next(list(each["charts"]) for each in steps if each["number"] == step)


async def open_charts(pilot: Any, step: int = RELIEF) -> None:
    """From the first step of the job to the charts of one."""
    await pilot.pause()
    await press(pilot, "escape", "home", *["down"] * ((step - WELD) // 10), "enter")
    assert isinstance(pilot.app.screen, Step)
    await press(pilot, "g")
    assert isinstance(pilot.app.screen, Charts)


async def fill(pilot: Any, **fields: str) -> None:
    """Put texts into fields of the form, in place of what stands there."""
    form = pilot.app.screen
    assert isinstance(form, AttachChart)
    form.put_values({**form.values(), **fields})
    await pilot.pause()


def fault(app: Any, key: str) -> str:
    """What is said beneath a field."""
    return one_line(str(app.screen.query_one(f"#field-{key} .fault").render()))


async def whole_page(pilot: Any, app: Any) -> str:
    """Everything on the page, by paging to its end."""
    await press(pilot, "home")
    seen = [screen_text(app)]
    for _ in range(60):
        await press(pilot, "pagedown")
        if screen_text(app) == seen[-1]:
            return one_line("\n".join(seen))
        seen.append(screen_text(app))
    raise AssertionError("the page has no end")


async def test_a_file_is_attached_listed_and_looked_at(session: Session, tmp_path: Path) -> None:
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        assert "No chart is recorded here. n attaches" in one_line(screen_text(app))
        assert "(Enter Open chart)" in screen_text(app)
        await press(pilot, "n", *typed(written(tmp_path, elapsed())), "f10")
        assert isinstance(app.screen, Charts)
        text = one_line(screen_text(app))
        assert "+ met chart 1 relief.csv" in text
        assert "temperature at loading not shown" in text
        assert "chart 1 (relief.csv) recorded with step 20: met" in text
        await press(pilot, "enter")
        assert isinstance(app.screen, ChartPage)
        drawn = screen_text(app)
        assert all(words in drawn for words in ("soak from", "ceiling", "[━", "a TC1", "time from the start"))
        page = await whole_page(pilot, app)
        assert "Chart 1 of stress relief: relief.csv: MET" in page
        assert "soak time at least 60 min 162 min, TC1" in page
        assert f"SHA-256 {charts(session)[0]['sha256']}" in page
        assert "Entered: Ida Weld" in page
        await press(pilot, "f")
        assert "no place fails on this chart" in one_line(screen_text(app))


async def test_the_failing_places_one_by_one(session: Session, tmp_path: Path) -> None:
    attach(session, written(tmp_path, elapsed(STEEP)))
    places = charts(session)[0]["drawing"]["faults"]
    assert len(places) == 2
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        assert "heating rate not met" in one_line(screen_text(app))
        await press(pilot, "enter")
        whole = screen_text(app)
        assert "2 failing places: f shows them. Page Down: all of it in words" in one_line(whole)
        await press(pilot, "f")
        first = one_line(screen_text(app))
        # The place is told with its criterion and its times; the drawing covers its surroundings only.
        assert "place 1 of 2: heating rate, 4:" in first
        assert "TC1 rises 450.0 F°/h" in first
        assert "10:00" in whole
        assert "10:00" not in first
        await press(pilot, "f")
        assert "place 2 of 2: heating rate" in one_line(screen_text(app))
        await press(pilot, "f")
        assert screen_text(app) == whole
        await press(pilot, "b")
        assert "place 2 of 2" in one_line(screen_text(app))
        await press(pilot, "0")
        assert screen_text(app) == whole
        assert "on the chart: marks 1, 2" in await whole_page(pilot, app)


async def test_what_the_file_leaves_open_is_asked_in_the_form(session: Session, tmp_path: Path) -> None:
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n", *typed(written(tmp_path, clocked(NO_UNIT))), "f10")
        text = one_line(screen_text(app))
        assert "? nothing in the file says whether the temperatures are in °C or in °F" in text
        assert "C: degrees Celsius F: degrees Fahrenheit" in text
        assert fault(app, "answer") == "! asked above: C or F"
        await press(pilot, *typed("kelvin"), "f10")
        assert '"kelvin" is none of these; expected C or F' in fault(app, "answer")
        await fill(pilot, answer="f")
        await press(pilot, "f10")
        text = one_line(screen_text(app))
        assert "dmy: day before month: 2026-04-03" in text
        assert "Answered: unit f" in text
        assert app.screen.values()["answer"] == ""
        assert charts(session) == []
        await press(pilot, *typed("dmy"), "f10")
        assert isinstance(app.screen, Charts)
    (chart,) = charts(session)
    assert (chart["verdict"], chart["mapping"]["unit"], chart["mapping"]["date_order"]) == (
        "met",
        "degF",
        "dmy",
    )


@pytest.mark.slow
async def test_an_answer_for_one_file_is_none_for_another(session: Session, tmp_path: Path) -> None:
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n", *typed(written(tmp_path, clocked(NO_UNIT), "first.csv")), "f10")
        await press(pilot, *typed("C"), "f10")
        assert "in which order" in one_line(screen_text(app))
        await fill(pilot, file=written(tmp_path, elapsed(), "second.csv"))
        await press(pilot, "f10")
        assert isinstance(app.screen, Charts)
    (chart,) = charts(session)
    assert (chart["name"], chart["mapping"]["unit"], chart["verdict"]) == ("second.csv", "degF", "met")


@pytest.mark.slow
async def test_a_wrong_answer_is_forgotten_with_the_form(session: Session, tmp_path: Path) -> None:
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n", *typed(written(tmp_path, clocked(NO_UNIT))), "f10")
        await press(pilot, *typed("C"), "f10", "escape")
        assert "what you typed is kept" in one_line(screen_text(app))
        await press(pilot, "n")
        assert app.screen.values()["file"].endswith("relief.csv")
        await press(pilot, "f10")
        assert fault(app, "answer") == "! asked above: C or F"


@pytest.mark.slow
async def test_answers_go_before_the_mapping_file_and_beside_it(session: Session, tmp_path: Path) -> None:
    mapping = written(tmp_path, 'delimiter = ","\n', "logger.toml")
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n")
        await fill(pilot, file=written(tmp_path, clocked(NO_UNIT)), mapping=mapping)
        await press(pilot, "f10", *typed("F"), "f10", *typed("mdy"), "f10")
        assert isinstance(app.screen, Charts)
    assert charts(session)[0]["mapping"]["date_order"] == "mdy"


@pytest.mark.slow
async def test_an_answer_is_taken_once_where_something_else_is_wrong(
    session: Session, tmp_path: Path
) -> None:
    text = elapsed(names="TC1 (°F),TC2 (°F),Damper", couples=3)
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n")
        await fill(pilot, file=written(tmp_path, text), out="noon")
        await press(pilot, "f10")
        assert "Damper may be temperatures" in one_line(screen_text(app))
        await press(pilot, *typed("TC1, TC2"), "f10")
        assert fault(app, "out").startswith('! out: "noon" is no time of this chart')
        await fill(pilot, out="800 min")
        await press(pilot, "f10")
        assert isinstance(app.screen, Charts)
    assert charts(session)[0]["mapping"]["couples"] == ["TC1", "TC2"]


REFUSED = (
    ({"file": ""}, "file", "say which file"),
    ({"file": "nowhere.csv"}, "file", "cannot be read: No such file"),
    ({"file": "."}, "file", "a folder, a device or a pipe"),
    ({"file": "x" * 10_000}, "file", "x... cannot be read"),
    ({"couples": '"TC1'}, "couples", "cannot be read as names"),
    ({"spares": "TC2"}, "spares", "such as TC5=TC1"),
    ({"loaded": "x" * 10_000}, "loaded", "is no time of this chart"),
    ({"out": "25 h"}, "out", "lies outside the chart"),
    ({"loaded": "2 h", "out": "1 h"}, "out", "not after it went in"),
    ({"uncertainty": "5"}, "uncertainty", "expected a difference"),
    ({"mapping": "nowhere.toml"}, "mapping", "expected a mapping file in TOML"),
    ({"instead_of": "one"}, "instead_of", "no whole number"),
    ({"instead_of": "1"}, "because", "a reason is needed"),
    ({"because": "misread"}, "instead_of", "say which chart"),
)


@pytest.mark.slow
async def test_what_is_wrong_is_said_beneath_its_field_and_nothing_is_recorded(
    session: Session, tmp_path: Path
) -> None:
    file = written(tmp_path, elapsed())
    attach(session, file)
    before = session.job(NUMBER)
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n")
        empty = app.screen.values()
        for fields, key, said in REFUSED:
            await fill(pilot, **{**empty, "file": file, **fields})
            await press(pilot, "f10")
            assert isinstance(app.screen, AttachChart)
            assert said in fault(app, key)
            assert app.screen.focused is not None
            assert any(field.id == f"field-{key}" for field in app.screen.focused.ancestors)
        await press(pilot, "escape")
        assert "not recorded; what you typed is kept" in one_line(screen_text(app))
    assert session.job(NUMBER)["head"] == before["head"]


@pytest.mark.slow
async def test_a_file_that_is_no_chart_is_said_in_a_sentence(session: Session, tmp_path: Path) -> None:
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n", *typed(written(tmp_path, "%PDF-1.7\n")), "f10")
        assert "nothing was recorded: this is a PDF" in one_line(screen_text(app))
        await fill(pilot, file=written(tmp_path, elapsed()), couples="TC9")
        await press(pilot, "f10")
        assert 'no column is named "TC9"; the file has TC1, TC2' in one_line(screen_text(app))
    assert charts(session) == []


@pytest.mark.slow
async def test_one_that_was_read_wrongly_is_shown_as_taken_back(session: Session, tmp_path: Path) -> None:
    attach(session, written(tmp_path, elapsed(STEEP), "steep.csv"))
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n")
        await fill(pilot, file=written(tmp_path, elapsed()), instead_of="1", because="the wrong oven")
        await press(pilot, "f10")
        text = one_line(screen_text(app))
        assert "superseded chart 1 steep.csv" in text
        assert "taken back: the wrong oven" in text
        assert "+ met chart 2 relief.csv" in text
        # The cursor is on the one that was attached.
        await press(pilot, "enter")
        assert "chart 2 relief.csv" in one_line(screen_text(app))
        await press(pilot, "q", "up", "enter")
        taken_back = "taken back, chart 2 stands in its place: the wrong oven"
        assert taken_back in await whole_page(pilot, app)


async def test_limits_that_changed_are_said(session: Session, tmp_path: Path) -> None:
    attach(session, written(tmp_path, elapsed()))
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        assert "attach it again" not in one_line(screen_text(app))
        with Shop.open(tmp_path / "shop.traveler") as other:
            thicker = SHEET.replace("1/4 in", "2 in").encode()
            assert revise(other, TickingClock(), Person("Otto Plan"), NUMBER, thicker, "thicker").recorded
        app.screen.look_again()
        await pilot.pause()
        said = "judged against the limits of an earlier revision: attach it again"
        assert said in one_line(screen_text(app))
        await press(pilot, "enter")
        assert "MET, against the limits of an earlier revision" in await whole_page(pilot, app)


@pytest.mark.slow
async def test_a_logger_left_running_is_read_at_the_arcs(session: Session, tmp_path: Path) -> None:
    # 70 and 2.5 F° a minute: 370 at minute 120 and 570 at minute 200, 10 F° less 4 min behind; at most 500 °F.
    file = written(tmp_path, elapsed())
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot, WELD)
        await press(pilot, "n")
        assert {"arcs", "couples"} <= app.screen.values().keys()
        assert not {"loaded", "out", "uncertainty"} & app.screen.values().keys()
        await fill(pilot, file=file, arcs="1=2:00:00, 1=2:10:00")
        await press(pilot, "f10")
        assert "run 1 is marked twice" in fault(app, "arcs")
        await fill(pilot, arcs="1=2:00:00, 2=99 h")
        await press(pilot, "f10")
        assert "lies outside the chart" in fault(app, "arcs")
        await fill(pilot, arcs="1=2:00:00, 2=3:20:00")
        await press(pilot, "f10")
        text = one_line(screen_text(app))
        assert "interpass temperature 570 °F (298.9 °C) at TC1, run 2: not met" in text
        assert "recorded with step 10: not met; interpass temperature 560 °F at TC2, run 2: above" in text
        await press(pilot, "enter")
        drawn = screen_text(app)
        assert all(words in drawn for words in ("at least 300", "at most 500", "limits"))
        assert "soak" not in drawn
        page = await whole_page(pilot, app)
        assert "Arcs: run 1 at 2:00:00, run 2 at 3:20:00" in page
        assert "Read where the arcs were started" in page
        assert "Judged with" not in page


@pytest.mark.slow
async def test_what_is_only_kept_is_listed_as_that(session: Session, tmp_path: Path) -> None:
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot, INSPECT)
        await press(pilot, "n")
        assert list(app.screen.values()) == ["file"]
        assert "On this step a chart is not read" in one_line(screen_text(app))
        await press(pilot, *typed(written(tmp_path, "whatever\n", "scan.txt")), "f10")
        text = one_line(screen_text(app))
        assert "0 charts, 1 file kept" in text
        assert "Kept and not read: scan.txt" in text
        await press(pilot, "q")
        await open_charts(pilot, WELD)
        await press(pilot, "n")
        await fill(pilot, file=written(tmp_path, elapsed()), couples="TC1")
        await press(pilot, "f10")
        assert "kept and not read unless arcs are marked" in one_line(screen_text(app))


@pytest.mark.usefixtures("looks_late")
async def test_a_job_that_has_ended_takes_no_chart(session: Session, tmp_path: Path) -> None:
    attach(session, written(tmp_path, elapsed()))
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "n")
        with Shop.open(tmp_path / "shop.traveler") as other:
            cancel(other, TickingClock(), Person("Otto Plan"), NUMBER, "the car was sold")
        await fill(pilot, file=written(tmp_path, elapsed()))
        await press(pilot, "f10")
        text = one_line(screen_text(app))
        assert "not attached" in text
        assert "the job is cancelled" in text
        await press(pilot, "escape")
        assert "(n Attach)" in screen_text(app)
        await press(pilot, "n")
        assert isinstance(app.screen, Charts)
        assert "Attach: the job is cancelled" in one_line(screen_text(app))
    assert len(charts(session)) == 1


@pytest.mark.slow
@pytest.mark.parametrize("ascii_only", [False, True])
async def test_a_chart_fits_at_any_size(
    session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, ascii_only: bool
) -> None:
    monkeypatch.setenv("TRAVELER_ASCII", "1" if ascii_only else "0")
    attach(session, written(tmp_path, elapsed(STEEP)))
    app = app_on(session, NUMBER)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_charts(pilot)
        await press(pilot, "enter")
        for width, height, rows in ((80, 24, 15), (120, 40, 31), (40, 12, 0), (80, 24, 15)):
            await pilot.resize_terminal(width, height)
            await pilot.pause()
            text = screen_text(app)
            assert max(map(len, text.splitlines())) <= width
            drawn = [line for line in text.splitlines() if line[7:8] == ("|" if ascii_only else "│")]
            assert len(drawn) == rows
            # The scroll bar in the last columns is the terminal's own business.
            body = "".join(line[: width - 2] for line in text.splitlines()[1:-2])
            assert body.isascii() or not ascii_only
            if not rows:
                assert "No drawing: it needs 40 columns, and there are" in one_line(text)
                await press(pilot, "f")
                assert "place 1 of 2: heating rate, 4:" in one_line(screen_text(app))
                await press(pilot, "0")
