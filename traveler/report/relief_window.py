"""How much of a recorded chart a drawing covers, and which lines across belong on it."""

from collections.abc import Iterator

from traveler.report.relief_canvas import Window
from traveler.report.relief_curves import spans
from traveler.report.words import Object

LEAST_REACH = 20.0
"""Degrees that a drawing covers at least: closer than this it would show the last digit of the logger."""
LEAST_LENGTH_S = 0.001
OF_A_SOAK = ("soak from", "ceiling")
OF_A_WELD = ("at least", "at most")
"""What the ends of the band are called: of a soak, and of the temperature before a run of weld."""
_ROOM = 0.05
_NEAR = 0.5
"""A line at most this part of the curves' own reach beyond them is still drawn; one further off would flatten them."""


def window_of(drawing: Object, asked: tuple[float, float] | None) -> Window | None:
    """The part of the chart to draw with all its readings and the lines near them; None where nothing was read.

    ``asked``: seconds from and to, cut to the chart. None as well for a stretch without a length.
    """
    low_s, high_s = (0.0, drawing["length_s"]) if asked is None else asked
    low_s, high_s = max(low_s, 0.0), min(high_s, drawing["length_s"])
    if high_s - low_s < LEAST_LENGTH_S:
        return None
    values = [value for low, high in _reached(drawing, low_s, high_s) for value in (low, high)]
    if not values:
        return None
    bottom, top = min(values), max(values)
    reach = max((top - bottom) * _NEAR, LEAST_REACH)
    near = [value for value, _ in _levels(drawing) if asked is None or bottom - reach <= value <= top + reach]
    bottom, top = min([bottom, *near]), max([top, *near])
    room = max((top - bottom) * _ROOM, (LEAST_REACH - (top - bottom)) / 2)
    return Window(low_s, high_s, bottom - room, top + room)


def level_marks(
    drawing: Object, window: Window, ends: tuple[str, str] = OF_A_SOAK
) -> list[tuple[float, str]]:
    """The lines across that lie in the window, with their words; ``ends``: what those of the band are called."""
    return [(value, words) for value, words in _levels(drawing, ends) if window.bottom <= value <= window.top]


def _levels(drawing: Object, ends: tuple[str, str] = OF_A_SOAK) -> list[tuple[float, str]]:
    """Threshold and the ends of the band of the chart."""
    (low, high), (least, most) = drawing["band"], ends
    named = ((drawing["threshold"], "rates count from"), (low, least), (high, most))
    return [(value, f"{words} {value:.1f}".removesuffix(".0")) for value, words in named if value is not None]


def _reached(drawing: Object, low_s: float, high_s: float) -> Iterator[tuple[float, float]]:
    """The least and the greatest value of each couple between two times, the lines into them included."""
    for couple in drawing["couples"]:
        yield from (span for span in spans(couple["points"], low_s, high_s, 1) if span is not None)
