"""More preheat or heat afterwards: the routes of one joint with their predictions; nothing is recommended."""

import os
from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.events import Resize
from textual.widgets import Static

from traveler.errors import TravelerError
from traveler.report.chart_text import ROWS, Size
from traveler.report.in_ascii import in_ascii
from traveler.report.words import count_words, visible
from traveler.tui import terminal
from traveler.tui.keys import ROUTES_OPEN, ROUTES_PARTS
from traveler.tui.layout import Fitted, Row, lead_width
from traveler.tui.routes_wording import as_welded_lines, combination_lines, ground_lines, relieved_lines
from traveler.tui.screens.page import ListPage, Page
from traveler.tui.screens.working import TextPage
from traveler.tui.session import Session
from traveler.tui.widgets.rows import Rows

Json = Mapping[str, Any]

PARTS = ("combinations", "as-welded", "relieved", "grounds")
LEAST_ROWS = 8
ROOM_BESIDE_THE_CHART = 14
"""Lines of the terminal that a chart in full view leaves to heading, keys and the words around it."""


async def open_routes(page: Page[Any], traveler: Json, joints: Sequence[str]) -> None:
    """Open the routes of the one joint, or the list of several; where they cannot be weighed say why."""
    if len(joints) > 1:
        await page.app.push_screen(Joints(page.session, traveler["job"], tuple(joints)))
        return
    try:
        found = page.session.routes(traveler, joints[0])
    except TravelerError as error:
        page.say(str(error), alarm=True)
        page.refresh_bindings()
        return
    await page.app.push_screen(Routes(page.session, traveler, joints[0], found))


class Joints(ListPage[None]):
    """The joints of a job or of a step, to choose one."""

    PURPOSE = "The joints whose routes can be weighed. Choose one."

    BINDINGS: ClassVar[list[BindingType]] = [ROUTES_OPEN]

    def __init__(self, session: Session, number: str, joints: tuple[str, ...]) -> None:
        super().__init__(session)
        self.number = number
        self.joints = joints
        self.traveler: Json = {}

    def compose_body(self) -> ComposeResult:
        """The list."""
        yield Rows()

    def reload(self) -> None:
        """Read the joints."""
        self.traveler = self.session.job(self.number)
        rows = [row for row in self.traveler["joints"] if row["id"] in self.joints]
        self.set_heading(f"{visible(self.number)}  routes of which joint", count_words(len(rows), "joint"))
        width = lead_width([visible(row["id"]) for row in rows], 14)
        self.rows.show([_row(row, width) for row in rows])

    def why_not(self, action: str) -> str:
        """As on the job's own screen."""
        return self.session.why_not_routes(self.traveler) if action == "open" else ""

    async def action_open(self) -> None:
        """Weigh the joint under the cursor."""
        if self.rows.key is not None:
            await open_routes(self, self.traveler, (self.rows.key,))


def _row(joint: Json, width: int) -> Row:
    facts = f"{visible(joint['type'])}, process {visible(joint['process'])}"
    return Row(joint["id"], visible(joint["id"]), width, (facts, visible(joint["members"])))


class Routes(TextPage):
    """Which combinations satisfy the limits of a joint, and the predictions behind the answer, on one long page."""

    PURPOSE = (
        "More preheat, or heat treatment afterwards: what each combination gives in hardness and which "
        "limits it keeps. Predictions to choose by; they set no limit of the traveler."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(ROUTES_PARTS)

    def __init__(self, session: Session, traveler: Json, joint: str, found: Json) -> None:
        super().__init__(session)
        self.number = traveler["job"]
        self.joint = joint
        self.ascii = terminal.wants_ascii(os.environ)
        self._shown = (0, 0)
        self._take(traveler["revision"], found)

    def _take(self, revision: int, found: Json) -> None:
        self.revision = revision
        self.found: Json = in_ascii(found) if self.ascii else found

    def compose_body(self) -> ComposeResult:
        """The four parts beneath each other."""
        with VerticalScroll(id="reading-matter", can_focus=False):
            for part in PARTS:
                yield Static("", id=part, classes="part", markup=False)

    def reload(self) -> None:
        """Weigh again only where the job was revised meanwhile."""
        traveler = self.session.job(self.number)
        if traveler["revision"] != self.revision:
            self._take(traveler["revision"], self.session.routes(traveler, self.joint))
        self.set_heading(
            f"{visible(self.number)}  routes of joint {visible(self.joint)}",
            "predictions, nothing recommended",
        )
        self._show()

    def on_resize(self, event: Resize) -> None:
        """A chart is as high as the window allows."""
        self._show()

    def _show(self) -> None:
        (joint,), units = self.found["joints"], self.found["units"]
        rows = min(max(self.app.size.height - ROOM_BESIDE_THE_CHART, LEAST_ROWS), ROWS)
        if self._shown == (self.revision, rows):
            return  # painting the same again costs kilobytes on a slow line
        self._shown = (self.revision, rows)
        drawn = {
            "combinations": lambda width: combination_lines(joint, self.revision, width),
            "as-welded": lambda width: as_welded_lines(joint, units, self.ascii, Size(width, rows)),
            "relieved": lambda width: relieved_lines(joint, units, self.ascii, Size(width, rows)),
            "grounds": lambda width: ground_lines(joint),
        }
        for part, lines in drawn.items():
            self.query_one(f"#{part}", Static).update(Fitted(lines, self._said))

    def _said(self, text: str) -> str:
        return str(in_ascii(text)) if self.ascii else text

    def action_part(self, part: str) -> None:
        """Scroll so that the part begins at the top."""
        scroll = self.query_one("#reading-matter", VerticalScroll)
        scroll.scroll_to(y=self.query_one(f"#{part}").virtual_region.y, animate=False)
