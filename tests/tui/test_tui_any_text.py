"""Text that people typed is never read as markup and never acts on the terminal, on no screen."""

import json

import pytest
from tui_kit import HEAD, THREE_STEPS, app_on, one_line, put, screen_text, typed

from traveler.acts.clock import SystemClock
from traveler.job.state import Person
from traveler.record.shop import Shop
from traveler.tui.session import Session

NASTY = (
    "[A36] plate [/] end",
    "[@click=app.quit]x[/]",
    "[red]hot[/red] $primary {x}",
    "支架 Träger крюк",
    "esc \x1b[31mred\x1b[0m tab\tend",
    "W" * 200,
)


def seen(text: str) -> str:
    """As it must stand on the screen: what acts on a terminal is spelled out."""
    return text.replace("\x1b", "\\x1b").replace("\t", "\\t")


@pytest.mark.parametrize("nasty", NASTY)
async def test_a_title_reads_the_same_on_every_screen(tmp_path, nasty: str) -> None:
    sheet = HEAD.format(number='"N-1"', title=json.dumps(nasty, ensure_ascii=True)) + THREE_STEPS.replace(
        '"Preheat the bracket joint"', json.dumps(nasty, ensure_ascii=True)
    )
    with Shop.create(tmp_path / "shop.traveler") as shop:
        put(shop, sheet)
        app = app_on(Session(shop, SystemClock(), Person(seen(nasty))))
        async with app.run_test(size=(80, 40)) as pilot:
            assert _holds(screen_text(app), nasty)
            await pilot.press("enter", "down")
            assert screen_text(app).count("W" * 30) >= 3 if "W" in nasty else _holds(screen_text(app), nasty)
            await pilot.press("enter")
            assert _holds(screen_text(app), nasty)
            await pilot.press("enter", *typed("300 F"), "tab", *typed("[/] [A36]"), "f10")
            assert "[/] [A36]" in screen_text(app)
            await pilot.press("w")
            assert _holds(screen_text(app), nasty)
            assert "[/] [A36]" in screen_text(app)
            await pilot.press("q", "c", "tab", *typed("[b]"), "tab", *typed("[x"), "f10")
            assert "[b]" in screen_text(app)
            await pilot.press("escape", "p")
            assert _holds(screen_text(app), nasty)
            await pilot.press("f10")
            assert "signed as performed" in one_line(screen_text(app))
            await pilot.press("q", "q")
            assert app.is_running


def _holds(screen: str, nasty: str) -> bool:
    """The text stands there, whatever the lines were broken at."""
    return "".join(seen(nasty).split()) in "".join(screen.split())
