"""Every screen of the app as it is drawn: the demo shop of one instant, the same to the last letter each time."""

import asyncio
import os
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from itertools import count
from pathlib import Path
from uuid import UUID

import pytest
from looks_screens import PRESSED, RELIEF, SCREENS
from rich.segment import Segment
from shop_copies import copied
from textual.pilot import Pilot

from traveler.demo.build import FILE_NAME, SetClock, build_demo
from traveler.job.person import Person
from traveler.record.shop import Shop
from traveler.tui.app import TravelerApp
from traveler.tui.decided_acts import open_nonconformance
from traveler.tui.looks import looks_for
from traveler.tui.screens.page import Page
from traveler.tui.session import Session
from traveler.tui.widgets.job_list import JobList
from traveler.tui.widgets.rows import Rows

INSTANT = datetime(2026, 3, 14, 14, 0, tzinfo=UTC)
SIZES = ((80, 24), (80, 23), (40, 12), (100, 30), (160, 50))
THEMED_SIZE = (80, 24)
"""At this one every theme is looked at."""
WELDER = Person("Nell Fettle (demo)")


@dataclass(frozen=True)
class Shot:
    """What stands on the screen, line by line, and the line of the cursor in a list."""

    lines: tuple[tuple[Segment, ...], ...]
    cursor: int | None

    @property
    def text(self) -> str:
        """As text, without blanks at the ends of lines."""
        return "".join(f"{''.join(s.text for s in line).rstrip()}\n" for line in self.lines)


@contextmanager
def steady(**environ: str) -> Iterator[None]:
    """Ids in their order, times in UTC, and this environment."""
    numbers = count(1)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("uuid.uuid4", lambda: UUID(int=next(numbers)))
        patch.setattr("os.urandom", lambda size: next(numbers).to_bytes(size, "big"))
        for name, value in {"TZ": "UTC", **environ}.items():
            patch.setenv(name, value)
        time.tzset()
        yield
    time.tzset()


def build(path: Path) -> None:
    """The demo shop, with a nonconformance opened in it."""
    built, _ = build_demo(path.parent, SetClock(INSTANT))
    with Shop.open(built) as shop:
        session = Session(shop, SetClock(INSTANT), WELDER)
        job, step = RELIEF
        act = open_nonconformance(step, "soak temperature", "J1", ["J1"])
        content = next(s for s in session.job(job)["steps"] if s["number"] == step)["content"]
        typed = {"what": "Soaked above the limit", "quantity": "soak temperature", "readings": ""}
        assert session.sign(job, act, session.signer(WELDER.name), typed, content).recorded
    built.rename(path)


def shots(size: tuple[int, int], theme: str = "", **environ: str) -> Mapping[str, Shot]:
    """Each screen, at a size of the terminal and in an environment; in the theme of that environment, or in another."""
    found = _walked(size, **environ)
    first = next(iter(found))
    return found[theme or first]


@cache
def _walked(size: tuple[int, int], **environ: str) -> Mapping[str, Mapping[str, Shot]]:
    return asyncio.run(_walk(size, **environ))


class Unchanging(Session):
    """The session on a shop to which nobody writes, so that each job is read once."""

    job = cache(Session.job)


async def _walk(size: tuple[int, int], **environ: str) -> Mapping[str, Mapping[str, Shot]]:
    """One app walks through the screens and shows each in every theme that it has, the one it began with first."""
    with steady(**environ):
        path = Path(os.environ["HOME"]) / FILE_NAME
        copied(path, build)
        with Shop.open(path, watched=False) as shop:
            session = Unchanging(shop, SetClock(INSTANT), WELDER)
            looks = looks_for(os.environ, "")
            themes = sorted(looks.offered, key=lambda name: name != looks.theme)
            found: dict[str, dict[str, Shot]] = {theme: {} for theme in themes}
            app = TravelerApp(session, looks=looks)
            async with app.run_test(size=size) as pilot:
                beneath = len(app.screen_stack)
                for name, make in SCREENS.items():
                    await app.push_screen(make(session))
                    await pilot.pause()
                    await pilot.press(*PRESSED.get(name, ()))
                    for theme in themes if size == THEMED_SIZE else themes[:1]:
                        await _wear(pilot, theme)
                        found[theme][name] = shot(pilot)
                    await _wear(pilot, themes[0])
                    while len(app.screen_stack) > beneath:
                        app.pop_screen()
                        await pilot.pause()
    return found


async def _wear(pilot: Pilot[int], theme: str) -> None:
    if pilot.app.theme != theme:
        pilot.app.theme = theme
        page = pilot.app.screen
        assert isinstance(page, Page)
        page.look_again()
        await pilot.pause()


def shot(pilot: Pilot[int]) -> Shot:
    """What stands on the screen now. The only place here that needs private names of Textual."""
    screen = pilot.app.screen
    strips = screen._compositor.render_strips(pilot.app.size)
    rows = next(iter(screen.query(Rows)), None)
    cursor = None
    if rows is not None and rows.display and rows.highlighted is not None:
        cursor = rows.content_region.y + rows._index_to_line[rows.highlighted] - rows.scroll_offset.y
    jobs = next(iter(screen.query(JobList)), None)
    if jobs is not None and jobs.display:
        cursor = jobs.content_region.y + next((at for at, (_, here) in enumerate(jobs._painted) if here), 0)
    return Shot(tuple(tuple(strip) for strip in strips), cursor)
