"""Words in the characters that the terminal has."""

from typing import Any

from textual.widget import Widget

from traveler.report.in_ascii import in_ascii
from traveler.tui.compat import HeedingApp


def drawable(widget: Widget, words: str) -> str:
    """``words`` as the terminal of that widget can draw them; without a degree sign where it has none.

    What somebody typed stays as it is but for that sign.
    """
    app: Any = widget.app
    return str(in_ascii(words)) if isinstance(app, HeedingApp) and app.ascii else words
