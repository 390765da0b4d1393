"""The only file that overrides what Textual does not offer as an extension point; each has a test in tests/tui."""

from textual.reactive import Reactive
from textual.screen import Screen, ScreenResultType
from textual.widget import Widget


class QuietScreen(Screen[ScreenResultType]):
    """A screen that is not painted anew as a whole each time the focus moves.

    Textual 8.2.8 repaints everything on a change of focus, several kilobytes on a slow line; the two fields concerned
    repaint themselves anyway. Drop this class once ``Screen.focused`` no longer repaints.
    """

    focused: Reactive[Widget | None] = Reactive(None, repaint=False)
