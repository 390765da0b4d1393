"""The working behind one limit: every method with its value, standing, source, inputs and contributions."""

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from traveler.report.words import Object, visible
from traveler.tui.characters import drawable
from traveler.tui.layout import Fitted
from traveler.tui.screens.page import ListPage
from traveler.tui.session import Session
from traveler.tui.wording import requirement_key, step_name
from traveler.tui.working_wording import working_lines


class TextPage(ListPage[None]):
    """A text to read; the arrows and the page keys scroll it."""

    AUTO_FOCUS = ""

    def compose_body(self) -> ComposeResult:
        """The text."""
        with VerticalScroll(id="reading-matter", can_focus=False):
            yield Static("", id="text", markup=False)

    def action_move(self, where: str) -> None:
        """Scroll by a line, or to an end."""
        scroll = self.query_one("#reading-matter", VerticalScroll)
        match where:
            case "up":
                scroll.scroll_up(animate=False)
            case "down":
                scroll.scroll_down(animate=False)
            case "home":
                scroll.scroll_home(animate=False)
            case "end":
                scroll.scroll_end(animate=False)

    def action_page(self, where: str) -> None:
        """Scroll by a page."""
        scroll = self.query_one("#reading-matter", VerticalScroll)
        if where == "up":
            scroll.scroll_page_up(animate=False)
        else:
            scroll.scroll_page_down(animate=False)


class Working(TextPage):
    """How the limits of one requirement were found, and what was recorded against them."""

    PURPOSE = (
        "Why this limit and no other: what sets it, with the numbers that went in, what the other methods "
        "say, and what would change it. The readings held against it stand at the end."
    )

    def __init__(self, session: Session, number: str, step_number: int, key: str) -> None:
        super().__init__(session)
        self.number = number
        self.step_number = step_number
        self.key = key

    def reload(self) -> None:
        """Read the requirement."""
        traveler = self.session.job(self.number)
        for step in traveler["steps"]:
            for requirement in step["requirements"]:
                if step["number"] == self.step_number and requirement_key(requirement) == self.key:
                    self.set_heading(f"{visible(self.number)}  step {step_name(step)}", "the working")
                    self._show(step, requirement, traveler["decides"])
                    return
        self.say("this requirement is no longer on the traveler", alarm=True)

    def _show(self, step: Object, requirement: Object, decides: str) -> None:
        def lines(width: int) -> list[str]:
            return working_lines(step, requirement, decides, width)

        self.query_one("#text", Static).update(Fitted(lines, lambda text: drawable(self, text)))
