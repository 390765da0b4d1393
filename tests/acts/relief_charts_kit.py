"""Charts of a stress relief, constructed and computed by hand, and the sheet of the job that asks for them.

Readings every 2 min in °F:
- SLOW: 70 to 1120 at 2.5 F° a minute (150 F° an hour, minute 420), held 150 min, down to 520 at the same pace; the
  second couple 4 min behind: both at 1100 or above from minute 416 to 578, 162 min;
- STEEP: 70 to 800 at 2.5 F° a minute, to 1115 in 42 min (450 F° an hour), held 150 min, down to 515.
The job's stress relief, shop 4130: 1100 to 1150 °F; at 1/4 in for 60 min, 400 and 500 F°/h; at 2 in for 120 min, 200
and 250 F°/h above 800 °F.
"""

from typing import Any

from acts_kit import HEADER
from courses import SLOW, Course, at

from traveler.acts.chart_asked import Asked
from traveler.acts.charts import NewChart
from traveler.chart.model import Told

HEAD = "Time (min),TC1 (°F),TC2 (°F),Air (°F)"
NO_UNIT = "Time (min),TC1,TC2,Air"
COLUMNS = Told(couples=("TC1", "TC2"), furnace=("Air",))
MARKED = Asked(told=COLUMNS, loaded="0 min")
PREHEAT, WELD, RELEASE, RELIEF, INSPECT = 10, 20, 30, 40, 50
ROUTE = ((PREHEAT, "preheat"), (WELD, "weld"), (RELEASE, "hydrogen release"), (RELIEF, "stress relief"))


def sheet(thickness: str = "1/4 in", relief: bool = True) -> bytes:
    head = HEADER.format(thickness=thickness, title="Link tab, invented")
    if relief:
        head = head.replace("\n\n[[material]]", '\nstress_relief = "shop 4130"\n\n[[material]]', 1)
    steps = "".join(
        f'\n[[step]]\nnumber = {number}\nkind = "{kind}"\n'
        + ("" if kind == "stress relief" else 'joint = "J1"\n')
        for number, kind in ROUTE
        if relief or number != RELIEF
    )
    return f'{head}{steps}\n[[step]]\nnumber = {INSPECT}\nkind = "inspect"\n'.encode()


def logged(course: Course = SLOW, head: str = HEAD, open_from: int | None = None) -> bytes:
    """The file: two couples, the second 4 min behind the first, and the furnace. It may read OPEN from a minute on."""
    lines = [head]
    for minute in range(0, course[-1][0] + 1, 2):
        second = "OPEN" if open_from is not None and minute >= open_from else f"{at(course, minute - 4):.2f}"
        lines.append(f"{minute},{at(course, minute):.2f},{second},{at(course, minute):.2f}")
    return ("\n".join(lines) + "\n").encode()


def new_chart(content: bytes, asked: Asked = MARKED, step: int = RELIEF, **more: Any) -> NewChart:
    return NewChart(step, "relief.csv", lambda: [content], asked, **more)
