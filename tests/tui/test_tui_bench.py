"""Bench mode: digits and Enter through a preheat and a weld, on a laptop and on a phone."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from textual.events import Paste
from tui_kit import ROUTE, app_on, comply, one_line, press, put, screen_text, sign

from traveler.acts.instruments import NewInstrument, calibrated, register_instrument
from traveler.acts.issue import revise
from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.app import TravelerApp
from traveler.tui.screens import bench_page
from traveler.tui.screens.bench import Bench
from traveler.tui.screens.bench_forms import BenchCorrect
from traveler.tui.screens.help import Help
from traveler.tui.screens.job import Job
from traveler.tui.screens.sign import Perform
from traveler.tui.screens.step import Step
from traveler.tui.session import Session
from traveler.tui.signed_act import perform_step

JOB = "H-015"
PREHEAT, WELD = 30, 40
LAPTOP, PHONE = (80, 24), (40, 12)


class BenchClock:
    """Time of day and steady seconds that go on only when told."""

    def __init__(self) -> None:
        self._now = datetime(2026, 3, 14, 9, 30, tzinfo=UTC)
        self.steady_s = 5000.0

    def now(self) -> datetime:
        return self._now

    def monotonic(self) -> float:
        return self.steady_s

    def wait(self, seconds: float) -> None:
        self._now += timedelta(seconds=seconds)
        self.steady_s += seconds

    def set_back(self, seconds: float) -> None:
        self._now -= timedelta(seconds=seconds)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> BenchClock:
    clock = BenchClock()
    monkeypatch.setattr(bench_page, "monotonic", clock.monotonic)
    return clock


@pytest.fixture
def bench(tmp_path: Path, clock: BenchClock) -> Iterator[Session]:
    """A session on the usual route of a bracket, its pieces cut and fitted, the preheat to be done."""
    path = tmp_path / "bench.traveler"
    with Shop.create(path) as shop:
        put(shop, ROUTE)
        session = Session(shop, clock, Person("Ida Weld"))
        for step in (10, 20):
            comply(session, JOB, step)
            assert sign(session, JOB, step, perform_step(step, "other"), "Ida Weld").recorded
        yield session


async def opened(pilot: Any) -> None:
    """From the job into bench mode."""
    await press(pilot, "b")
    assert isinstance(pilot.app.screen, Bench)


async def keys(pilot: Any, text: str) -> None:
    """Digits, a bar for Enter; the digits before it are put into the entry at once, which is faster."""
    *entered, rest = text.split("|")
    for digits in entered:
        await typed(pilot, digits)
        await press(pilot, "enter")
    await typed(pilot, rest)


async def typed(pilot: Any, text: str) -> None:
    page = pilot.app.screen
    if isinstance(page, Bench):
        page.entry.put(page.entry.text + text)
        await pilot.pause()
    else:
        assert not text, f"{text} is typed into {page}"


async def at_job(app: TravelerApp, pilot: Any) -> None:
    await pilot.pause()
    if not isinstance(app.screen, Job):
        await press(pilot, "escape")


def readings(session: Session, step: int, quantity: str) -> list[tuple[str, str | None, int | None]]:
    found = next(s for s in session.job(JOB)["steps"] if s["number"] == step)
    requirement = next(r for r in found["requirements"] if r["quantity"] == quantity)
    return [(r["typed"], r["place"], r["run"]) for r in requirement["readings"]]


def preheated(session: Session) -> None:
    comply(session, JOB, PREHEAT)
    assert sign(session, JOB, PREHEAT, perform_step(PREHEAT, "preheat"), "Ida Weld").recorded


async def test_b_opens_it_on_the_step_that_is_to_be_done_and_on_the_step_at_hand(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await pilot.pause()
        assert isinstance(app.screen, Step)  # where the job stands: at the first that is not accepted
        await press(pilot, "b")
        assert isinstance(app.screen, Bench)
        assert app.screen.step_number == 10
        await press(pilot, "escape", "escape")
        assert isinstance(app.screen, Job)
        await press(pilot, "b")
        assert isinstance(app.screen, Bench)
        assert app.screen.step_number == PREHEAT


@pytest.mark.parametrize("size", [LAPTOP, (80, 23), (60, 20), PHONE])
async def test_what_matters_is_in_view_at_once(bench: Session, size: tuple[int, int]) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=size) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        text = one_line(screen_text(app))
        assert "preheat temperature: - not shown" in text
        assert "at least 300 °F (148.9 °C)" in text
        assert "> read the first of 2 places" in text
        assert "Value in F, then Enter" in text
        assert "Enter Take" in text
        assert "Esc Back" in text
        await keys(pilot, "312|")
        text = one_line(screen_text(app))
        assert "312 °F (155.6 °C): where?" in text
        assert "1 plate" in text
        await keys(pilot, "1|")
        text = one_line(screen_text(app))
        assert "+ met 312 °F (155.6 °C), plate, now" in text
        assert "> read the second place" in text
        assert "reading 9 recorded: 312 °F (155.6 °C)" in text
        for line in screen_text(app).splitlines():
            assert len(line) <= size[0]


@pytest.mark.slow
@pytest.mark.parametrize("size", [LAPTOP, PHONE])
async def test_a_preheat_and_three_runs_by_digits_and_enter(
    bench: Session, clock: BenchClock, size: tuple[int, int]
) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=size) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "345|1|345|2|")
        assert "all is entered: sign as performed" in one_line(screen_text(app))
        await keys(pilot, "1|")
        assert isinstance(app.screen, Perform)
        await press(pilot, "f10")
        await keys(pilot, "3|1|")  # on to the weld; the welder is who is at the keyboard
        await press(pilot, *"F-7", "enter")  # a lot is read off the package
        await keys(pilot, "345|")
        assert "> ready for run 1" in one_line(screen_text(app))
        clock.wait(30)
        await keys(pilot, "22.5|")
        assert "> read before run 2" in one_line(screen_text(app))
        await keys(pilot, "520|")
        assert "! wait: above 500 °F between runs" in one_line(screen_text(app))
        await keys(pilot, "280|")
        assert "! heat again: 20 F° below the minimum" in one_line(screen_text(app))
        await keys(pilot, "495|")
        text = one_line(screen_text(app))
        assert "> ready for run 2" in text
        assert "495 °F not laid + met" in text
        await keys(pilot, "20|320|19.75|")
        text = one_line(screen_text(app))
        assert "> read before run 4" in text
        assert "run 3 320 °F 19.75 kJ/in + met" in text  # the last of the list is in view
        await press(pilot, "pageup", "pageup", "pageup")
        assert "run 1 345 °F 22.5 kJ/in + met" in one_line(screen_text(app))
        await keys(pilot, "|1|")
        assert isinstance(app.screen, Perform)
        await press(pilot, "f10")
        assert "performed" in one_line(screen_text(app))
    assert readings(bench, PREHEAT, "preheat temperature") == [
        ("345 F", "plate", None),
        ("345 F", "rail", None),
    ]
    assert [run for _, _, run in readings(bench, WELD, "interpass temperature")] == [1, 2, 2, 2, 3]
    assert [(t, run) for t, _, run in readings(bench, WELD, "arc energy")] == [
        ("22.5 kJ/in", 1), ("20 kJ/in", 2), ("19.75 kJ/in", 3),
    ]  # fmt: skip
    assert readings(bench, WELD, "welder") == [("Ida Weld", None, None)]
    (signed,) = next(s for s in bench.job(JOB)["steps"] if s["number"] == WELD)["performed"]
    assert signed["by"]["name"] == "Ida Weld"


async def test_the_clock_runs_down_and_says_what_to_do(bench: Session, clock: BenchClock) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=PHONE) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "345|1|345|2|")
        assert isinstance(app.screen, Bench)
        assert "Arc by 09:30:40, 0:40 left" in one_line(screen_text(app))
        for waited, left in ((1, "0:39"), (38, "0:01")):
            clock.wait(waited)
            app.screen.tick()
            await pilot.pause()
            assert f"Arc by 09:30:40, {left} left" in one_line(screen_text(app))
        clock.wait(1)
        app.screen.tick()
        await pilot.pause()
        text = one_line(screen_text(app))
        assert "Time is out: read the preheat again before the arc" in text
        clock.wait(600)
        app.screen.tick()
        await pilot.pause()
        assert "Time is out: read the preheat again before the arc" in one_line(screen_text(app))
        await press(pilot, "up")
        await keys(pilot, "345|1|")
        assert "0:40 left" in one_line(screen_text(app))
        clock.set_back(20)
        app.screen.tick()
        await pilot.pause()
        assert "The clock was set back: read the preheat again" in one_line(screen_text(app))


async def test_on_a_laptop_the_time_stands_in_large_digits(bench: Session, clock: BenchClock) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "345|1|345|2|")
        lines = screen_text(app).splitlines()
        assert next(line for line in lines if "arc in" in line).count("##") > 6
        assert any(line.startswith(" Arc by 09:30:40") and "left" not in line for line in lines)


@pytest.mark.slow
async def test_read_some_minutes_ago_leaves_less_time(bench: Session, clock: BenchClock) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=PHONE) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "345|1||6|1|345|2|")
        text = one_line(screen_text(app))
        assert "0:40 left" in text  # the other place was read now
        await press(pilot, "up")
        await keys(pilot, "|6|1|")
        assert "read 1 min ago" in one_line(screen_text(app))
        requirement = bench.job(JOB)["steps"][2]["requirements"][0]
        ago = [datetime.fromisoformat(r["happened_at"]) for r in requirement["readings"]]
        assert [clock.now() - when for when in ago] == [timedelta(), timedelta(minutes=1)]


@pytest.mark.slow
async def test_a_value_that_can_hardly_be_meant_is_typed_twice(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=PHONE) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "3000|")
        assert "! 3000 °F (1648.9 °C): type it again to record it" in one_line(screen_text(app))
        await keys(pilot, "|0|3120|312|")  # a second thought, then what was meant
        assert "312 °F (155.6 °C): where?" in one_line(screen_text(app))
        await press(pilot, "escape", "ctrl+u")
        await keys(pilot, "3000|3000|1|")
    assert readings(bench, PREHEAT, "preheat temperature") == [("3000 F", "plate", None)]


@pytest.mark.slow
async def test_a_wrong_digit_is_taken_back_and_what_cannot_be_read_stays_to_be_mended(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "3..2|")
        assert "3..2" in screen_text(app)
        assert "is not a plain number" in one_line(screen_text(app))
        await press(pilot, *["backspace"] * 3)
        await keys(pilot, "12|7|")
        assert "there is no 7; expected 1 to 4" in one_line(screen_text(app))
        await press(pilot, *"[/] far end", "enter")
        assert "312 °F (155.6 °C), [/] far end" in one_line(screen_text(app))
    assert readings(bench, PREHEAT, "preheat temperature") == [("312 F", "[/] far end", None)]


@pytest.mark.slow
async def test_too_cold_opens_another_attempt_by_its_digit(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=PHONE) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "288|1|")
        text = one_line(screen_text(app))
        assert "! heat again: 12 F° below the minimum" in text
        assert "Heat again, then 4" in text
        await keys(pilot, "312|")
        assert "312 is not offered now" in one_line(screen_text(app))
        await keys(pilot, "4|")
        await press(pilot, "f10")
        await keys(pilot, "345|1|345|2|")
        assert "all is entered" in one_line(screen_text(app))
    requirement = bench.job(JOB)["steps"][2]["requirements"][0]
    assert [(r["typed"], r["attempt"]) for r in requirement["readings"]] == [
        ("288 F", 1), ("345 F", 2), ("345 F", 2),
    ]  # fmt: skip
    assert requirement["verdict"] == "met"


@pytest.mark.slow
async def test_a_typing_error_is_corrected_by_nine(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "213|1|")
        await keys(pilot, "9|")
        assert isinstance(app.screen, BenchCorrect)
        await press(pilot, "tab", *"312", "f10")
        assert isinstance(app.screen, Bench)
        assert "> read the second place" in one_line(screen_text(app))
    wrong, right = bench.job(JOB)["steps"][2]["requirements"][0]["readings"]
    assert (wrong["superseded_by"], wrong["reason"]) == (right["reading"], "typed wrong")
    assert (right["typed"], right["place"]) == ("312 F", "plate")


async def test_what_is_half_typed_comes_back_and_is_recorded_nowhere(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=PHONE) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "312|")
        await press(pilot, "escape")  # from the place to the value
        assert "> 312_" in screen_text(app)
        await press(pilot, "escape")
        assert isinstance(app.screen, Job)
        assert "kept and comes back" in one_line(screen_text(app))
        await opened(pilot)
        assert "> 312_" in screen_text(app)
        await press(pilot, "f1")
        assert isinstance(app.screen, Help)
        await press(pilot, "escape")
        assert "> 312_" in screen_text(app)
        await press(pilot, *["backspace"] * 3, "escape")
        assert not bench.drafts
    assert readings(bench, PREHEAT, "preheat temperature") == []


@pytest.mark.slow
async def test_another_session_is_seen_and_moves_nothing_that_is_typed(
    bench: Session, tmp_path: Path
) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await keys(pilot, "31")
        with Shop.open(tmp_path / "bench.traveler") as shop:
            other = Session(shop, BenchClock(), Person("Otto Plan"))
            requirement = other.job(JOB)["steps"][2]["requirements"][0]
            for place in ("plate", "rail"):
                other.record(JOB, PREHEAT, requirement, {"value": "305 F", "place": place})
        await pilot.pause(1.3)
        text = one_line(screen_text(app))
        assert "changed by Otto Plan" in text
        assert "305 °F (151.7 °C), rail" in text
        assert "preheat temperature: + met" in text
        assert isinstance(app.screen, Bench)
        assert app.screen.entry.text == "31"
        await keys(pilot, "2|2|")
    assert readings(bench, PREHEAT, "preheat temperature")[-1] == ("312 F", "rail", None)


@pytest.mark.slow
async def test_a_value_typed_for_a_run_that_was_laid_meanwhile_is_not_taken_for_the_next(
    bench: Session, tmp_path: Path
) -> None:
    preheated(bench)
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await press(pilot, "1", "enter", *"F-7", "enter", *"34")
        with Shop.open(tmp_path / "bench.traveler") as shop:
            other = Session(shop, BenchClock(), Person("Otto Plan"))
            weld = other.job(JOB)["steps"][3]["requirements"]
            for requirement, value in zip(weld[2:], ("350 F", "20 kJ/in"), strict=True):
                other.record(JOB, WELD, requirement, {"value": value})
        await pilot.pause(1.3)
        await press(pilot, "5", "enter")
        assert "run 1 was laid meanwhile; what is for run 2 is to be typed again" in one_line(
            screen_text(app)
        )
        await keys(pilot, "345|")
    assert [(t, run) for t, _, run in readings(bench, WELD, "interpass temperature")] == [
        ("350 F", 1),
        ("345 F", 2),
    ]


@pytest.mark.slow
async def test_ten_kilobytes_pasted_and_every_function_key_do_no_harm(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=PHONE) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        assert isinstance(app.screen, Bench)
        app.screen.entry.post_message(Paste("9[/]" * 2500 + chr(10) + "1"))
        await pilot.pause()
        await press(pilot, *(f"f{number}" for number in range(2, 13)), "enter")
        assert "longer than 40 characters" in one_line(screen_text(app))
        await press(pilot, "ctrl+u", *"312", "enter", "1", "enter")
        assert "read the second place" in one_line(screen_text(app))


async def test_leaving_the_program_asks_where_something_is_half_typed(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await press(pilot, *"31", "ctrl+q")
        assert "something you typed is not recorded" in one_line(screen_text(app))


@pytest.mark.slow
async def test_a_registered_instrument_is_asked_for_once_and_shown_with_its_calibration(
    bench: Session, tmp_path: Path
) -> None:
    with Shop.open(tmp_path / "bench.traveler") as shop:
        clock = BenchClock()
        for name in ("contact pen", "old contact pen"):
            register_instrument(shop, clock, Person("Otto Plan"), NewInstrument(name, "contact thermometer"))
        calibrated(shop, clock, Person("Otto Plan"), "I1", "2026-03-01", "2027-03-01", "C-9")
    app = app_on(bench, JOB)
    async with app.run_test(size=PHONE) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        text = one_line(screen_text(app))
        assert (
            "Read with what? 1 I1 contact pen, in calibration 2 I2 old contact pen, never calibrated" in text
        )
        await keys(pilot, "312|")
        assert "there is no 312" in one_line(screen_text(app))
        await keys(pilot, "2|")
        assert "In F, I2 never calibrated" in one_line(screen_text(app))
        await keys(pilot, "345|1|")
        assert "read again: not evaluable: I2 old contact pen was never calibrated" in one_line(
            screen_text(app)
        )
        await keys(pilot, "|5|1|")
        assert "In F, I1 in calibration" in one_line(screen_text(app))
        await keys(pilot, "345|1|345|2|")
        assert "all is entered" in one_line(screen_text(app))
    taken = bench.job(JOB)["steps"][2]["requirements"][0]["readings"]
    assert [reading["instrument_state"]["instrument"] for reading in taken] == ["I2", "I1", "I1"]


@pytest.mark.slow
async def test_it_survives_any_resize_while_typing(bench: Session) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await press(pilot, *"31")
        for width, height in (PHONE, (1, 1), (160, 50), (40, 30), LAPTOP):
            await pilot.resize_terminal(width, height)
            await pilot.pause()
        await press(pilot, "2")
        assert "######" in screen_text(app)
        await keys(pilot, "|1|")
        assert "read the second place" in one_line(screen_text(app))


async def test_the_cursor_keys_go_through_what_is_asked(bench: Session) -> None:
    preheated(bench)
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        assert "welder: - not shown" in one_line(screen_text(app))
        await press(pilot, "down", "down")
        assert "interpass temperature: - not shown" in one_line(screen_text(app))
        await press(pilot, "down", "down", "down")
        assert "What else?" in one_line(screen_text(app))
        await press(pilot, "up")
        assert "arc energy: - not shown" in one_line(screen_text(app))
        await keys(pilot, "2")
        await press(pilot, "up")
        assert "first Enter or Esc" in one_line(screen_text(app))
        assert isinstance(app.screen, Bench)
        assert app.screen.entry.text == "2"


@pytest.mark.slow
async def test_a_step_that_a_revision_dropped_is_said_and_ends_nothing(
    bench: Session, tmp_path: Path
) -> None:
    app = app_on(bench, JOB)
    async with app.run_test(size=LAPTOP) as pilot:
        await at_job(app, pilot)
        await opened(pilot)
        await press(pilot, *"31")
        with Shop.open(tmp_path / "bench.traveler") as shop:
            kept = ((10, "cut"), (20, "fit"), (90, "assemble"))
            sheet = ROUTE + "".join(f'[[step]]\nnumber = {n}\nkind = "{kind}"\n' for n, kind in kept)
            revised = revise(
                shop, BenchClock(), Person("Otto Plan"), JOB, sheet.encode(), "fewer steps, invented"
            )
            assert revised.recorded, revised
        await pilot.pause(1.3)
        assert "step 30 is no longer on this traveler" in one_line(screen_text(app))
        await press(pilot, "2", "enter", "1", "enter")
        assert isinstance(app.screen, Bench)
        assert "nothing was recorded" in one_line(screen_text(app))


def test_of_what_concerns_the_whole_part_the_members_of_its_joints_are_offered(bench: Session) -> None:
    """A soak is read on the members, too: by digits, as everything else."""
    soak = {"quantity": "soak temperature", "joint": "J1", "evidence": {"readings": 2}}
    of_the_joint = bench.bench.places(JOB, WELD, soak)
    assert len(of_the_joint) >= 2
    assert bench.bench.places(JOB, WELD, {**soak, "joint": None}) == of_the_joint


def test_the_member_that_was_not_read_yet_is_offered_first(bench: Session) -> None:
    step = next(step for step in bench.job(JOB)["steps"] if step["number"] == PREHEAT)
    needed = step["requirements"][0]
    first, second, *_ = bench.bench.places(JOB, PREHEAT, needed)
    bench.record(JOB, PREHEAT, needed, {"value": "320 F", "place": f"{first}, 25 mm from the edge"})
    again = bench.bench.places(JOB, PREHEAT, needed)
    assert again[0] == second
    assert f"{first}, 25 mm from the edge" in again
