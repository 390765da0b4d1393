"""What the app does before its first paint, and what it leaves for later."""

from typing import Any

import pytest
from textual.css.stylesheet import Stylesheet
from textual.widget import Widget
from tui_kit import app_on, press

from traveler.tui.app import STYLES_BEYOND, TravelerApp
from traveler.tui.screens.board import Board
from traveler.tui.session import Session
from traveler.tui.widgets.job_list import JobList


def reads_beyond(app: TravelerApp) -> bool:
    return app.stylesheet.has_source(str(STYLES_BEYOND), "")


async def test_the_board_is_the_first_screen_and_styles_are_read_once(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_again: list[Stylesheet] = []
    reparse = Stylesheet.reparse

    def counted(stylesheet: Stylesheet) -> None:
        read_again.append(stylesheet)
        reparse(stylesheet)

    monkeypatch.setattr(Stylesheet, "reparse", counted)
    app = app_on(session)
    async with app.run_test() as pilot:
        assert [type(screen) for screen in app.screen_stack] == [Board]
        assert isinstance(app.focused, JobList)
        assert not reads_beyond(app)
        await press(pilot, "enter")
        assert reads_beyond(app)
        await press(pilot, "escape")
        assert [type(screen) for screen in app.screen_stack] == [Board]
    assert read_again == []


async def test_each_widget_of_the_board_is_styled_when_it_comes_and_not_again(
    session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_once: list[int] = []
    update_nodes = Stylesheet.update_nodes

    def counted(stylesheet: Stylesheet, nodes: Any, animate: bool = False) -> None:
        styled = list(nodes)
        at_once.append(len(styled))
        update_nodes(stylesheet, styled, animate)

    monkeypatch.setattr(Stylesheet, "update_nodes", counted)
    app = app_on(session)
    async with app.run_test():
        assert max(at_once) == 1  # a field that was given its class, a list that was given the focus
        everything = [node for node in app.screen.walk_children() if isinstance(node, Widget)]
        assert len(everything) > 10


@pytest.mark.parametrize("size", [(80, 24), (40, 12), (140, 40)])
@pytest.mark.parametrize("plain", [False, True])
async def test_the_board_does_without_the_styles_that_are_read_later(
    session: Session, size: tuple[int, int], plain: bool
) -> None:
    def look(app: TravelerApp) -> list[str]:
        return [f"{node!r} {node.styles.css}" for node in app.screen.walk_children(with_self=True)]

    app = app_on(session, plain=plain)
    async with app.run_test(size=size) as pilot:
        await press(pilot, "slash")  # the find line, too
        before = look(app)
        assert not reads_beyond(app)
        app.stylesheet.read(STYLES_BEYOND)
        app.stylesheet.update(app.screen)
        assert look(app) == before
