"""The only file that overrides what Textual does not offer for it; tests/terminal measures that each works."""

from typing import ClassVar

from textual.app import App, ReturnType
from textual.events import Event, InputEvent, Paste
from textual.reactive import Reactive
from textual.screen import Screen, ScreenResultType
from textual.scrollbar import ScrollBar, ScrollBarRender
from textual.style import Style
from textual.widget import Widget
from textual.widgets import OptionList


class WholeCells(ScrollBarRender):
    """A bar of whole cells in reverse: it shows in two colours, and takes no character that a font may lack."""

    VERTICAL_BARS: ClassVar[list[str]] = [" "]
    HORIZONTAL_BARS: ClassVar[list[str]] = [" "]


ScrollBar.renderer = WholeCells


class QuietScreen(Screen[ScreenResultType]):
    """A screen that is not painted anew as a whole each time the focus moves.

    Textual 8.2.8 repaints everything on a change of focus, several kilobytes on a slow line; the two fields concerned
    repaint themselves anyway. Drop this class once ``Screen.focused`` no longer repaints.
    """

    focused: Reactive[Widget | None] = Reactive(None, repaint=False)


class HeedingApp(App[ReturnType]):
    """An app that notices each key, and lets keys fall while it is ``deaf``.

    Textual 8.2.8 has no place before the bindings where a key, or a text that is pasted, can be seen or dropped.
    """

    deaf = False
    ascii = False
    """Whether nothing but ASCII is drawn, what somebody typed aside."""

    async def on_event(self, event: Event) -> None:
        """As ``App.on_event``; what comes from the keyboard or the mouse passes here first."""
        if isinstance(event, InputEvent | Paste) and not event.is_forwarded:
            self.heard()
            if self.deaf:
                return
        await super().on_event(event)

    def heard(self) -> None:
        """Something was pressed, pasted or moved."""

    def hear_again(self) -> None:
        """Deaf no longer, once what was pressed up to now has fallen."""
        self.call_later(setattr, self, "deaf", False)


class ReversibleList(OptionList):
    """A list whose styles may ask for reverse video, the only cursor that shows in 16 colours and in none.

    Textual 8.2.8 leaves ``reverse`` out where it gathers the style of an option. Drop this class once it does not.
    """

    def get_visual_style(self, *component_classes: str, partial: bool = False) -> Style:
        """As ``Widget.get_visual_style``, reverse included."""
        style = super().get_visual_style(*component_classes, partial=partial)
        if any(self.get_component_styles(name).text_style.reverse for name in component_classes):
            return style + Style(reverse=True)
        return style
