"""Charts as a logger would write them: constructed courses of four couples, invented as a whole."""

from datetime import datetime, timedelta
from pathlib import Path

from courses import Course, at

# Of the first couple; the others follow 4, 8 and 12 min later.
GOOD: Course = ((0, 20), (236, 610), (311, 610), (435, 300), (560, 250))
"""150 C°/h up and down, 75 min at 610 °C: all four at 595 °C or above for 75.0 min (constructed, computed by hand)."""

STEEP: Course = ((0, 20), (180, 470), (196, 550), (244, 598), (250, 610), (325, 610), (449, 300), (560, 250))
"""Rises 80 C° in 16 min: 230.0 C°/h over 30 min, 149.5 over 60 (constructed, computed by hand)."""

LAGS_MIN = (0, 4, 8, 12)
PLAIN = "Time (min),TC1 (°C),TC2 (°C),TC3 (°C),TC4 (°C)"
CLOCK = "Time,TC1 (°C),TC2 (°C),TC3 (°C),TC4 (°C)"


def rows(course: Course = GOOD) -> list[tuple[int, list[float]]]:
    """Minute and four temperatures every 2 min."""
    return [(minute, [at(course, minute - lag) for lag in LAGS_MIN]) for minute in range(0, 561, 2)]


def elapsed(course: Course = GOOD, header: str = PLAIN, open_from: int | None = None) -> str:
    """The file in elapsed minutes. From ``open_from`` [min] on the fourth couple reads nothing."""
    lines = [header]
    for minute, values in rows(course):
        cells = [f"{value:.1f}" for value in values]
        if open_from is not None and minute >= open_from:
            cells[3] = "OPEN"
        lines.append(",".join([str(minute), *cells]))
    return "\n".join(lines) + "\n"


def clocked(course: Course = GOOD, header: str = CLOCK, form: str = "%d/%m/%Y %H:%M") -> str:
    """The file with dates and times, by default of 3 April 2026, or of 4 March: nothing in it tells which."""
    start = datetime(2026, 4, 3, 8, 0)
    lines = [header]
    for minute, values in rows(course):
        stamp = (start + timedelta(minutes=minute)).strftime(form)
        lines.append(",".join([stamp, *(f"{value:.1f}" for value in values)]))
    return "\n".join(lines) + "\n"


def written(folder: Path, text: str, name: str = "relief.csv") -> Path:
    """The file on disk."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path
