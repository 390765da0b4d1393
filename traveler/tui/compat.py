"""The only file that overrides what Textual does not offer for it; tests/terminal measures that each works."""

from textual.reactive import Reactive
from textual.screen import Screen, ScreenResultType
from textual.style import Style
from textual.widget import Widget
from textual.widgets import OptionList


class QuietScreen(Screen[ScreenResultType]):
    """A screen that is not painted anew as a whole each time the focus moves.

    Textual 8.2.8 repaints everything on a change of focus, several kilobytes on a slow line; the two fields concerned
    repaint themselves anyway. Drop this class once ``Screen.focused`` no longer repaints.
    """

    focused: Reactive[Widget | None] = Reactive(None, repaint=False)


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
