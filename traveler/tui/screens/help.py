"""The keys of every screen and the words of the app, on one page."""

from traveler.report.words import NO_CLAIM, VERDICTS, visible
from traveler.tui.keys import GROUPS, listed
from traveler.tui.screens.working import TextPage
from traveler.tui.theme import MARKS

STATES = {
    "not ready": "an earlier step is not accepted yet",
    "ready": "may be begun",
    "in work": "something is recorded",
    "performed": "signed by whoever did it",
    "accepted": "signed by another person: everything complies",
}
ABOUT = (
    "Everything recorded is written at once and never changed: a wrong entry is corrected by another, with its reason.",
    "A reading that does not comply is recorded all the same; it blocks acceptance.",
    "What is typed into a form and not recorded is kept until the program ends.",
    "Every act here is also a command: traveler --help.",
)


class Help(TextPage):
    """What the keys do and what the words mean."""

    def reload(self) -> None:
        """Write the page."""
        self.set_heading("Keys and words")
        lines: list[str] = []
        if remarks := self.session.remarks():
            lines += ["The shop's file", *(f"  ! {visible(remark.sentence)}" for remark in remarks), ""]
        for group in GROUPS:
            lines.append(group.title)
            lines += [f"  {keys.ljust(17)} {words}" for keys, words in listed(group)]
            lines.append("")
        lines.append("Verdicts")
        lines += [f"  {MARKS[word]} {word.ljust(15)} {meaning}" for word, meaning in VERDICTS.items()]
        lines += ["", "States of a step"]
        lines += [f"  {MARKS[word]} {word.ljust(15)} {meaning}" for word, meaning in STATES.items()]
        self.put_lines("text", [*lines, "", *ABOUT, "", NO_CLAIM])

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is no help on the help."""
        return False if action == "help" else super().check_action(action, parameters)
