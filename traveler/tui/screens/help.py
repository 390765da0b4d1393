"""The help: the screen that it was asked on first, then the words of the app, then every other key."""

from collections.abc import Iterator, Mapping
from typing import Any

from traveler.report.words import NO_CLAIM, VERDICTS, visible
from traveler.tui.compat import NO_KEYS, HeedingApp
from traveler.tui.here import Doable, doable_here
from traveler.tui.keys import GROUPS, listed
from traveler.tui.screens.form import Form
from traveler.tui.screens.page import Page
from traveler.tui.screens.working import TextPage
from traveler.tui.session import Session
from traveler.tui.theme import MARKS
from traveler.tui.widgets.field import Field

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
    "Keys of one's own: traveler keys says how.",
)


class Help(TextPage):
    """``page``: the screen on which the help was asked for."""

    PURPOSE = "What the screen is for, what its keys do and what the words mean."

    def __init__(self, session: Session, page: Page[Any]) -> None:
        super().__init__(session)
        self.here = list(_here(page))
        app = page.app
        self.keymap: Mapping[str, str] = app.keymap if isinstance(app, HeedingApp) else NO_KEYS
        self.keys_fault: str = getattr(app, "keys_fault", "")

    def reload(self) -> None:
        """Write the page."""
        self.set_heading("Keys and words", "this screen first")
        remarks = [remark.sentence for remark in self.session.remarks()]
        if self.keys_fault:
            remarks.append(self.keys_fault)
        lines = [f"! {visible(remark)}" for remark in remarks]
        lines += ["", *self.here] if lines else self.here
        lines.append("Verdicts")
        lines += [f"  {MARKS[word]} {word.ljust(15)} {meaning}" for word, meaning in VERDICTS.items()]
        lines += ["", "States of a step"]
        lines += [f"  {MARKS[word]} {word.ljust(15)} {meaning}" for word, meaning in STATES.items()]
        lines += ["", *ABOUT, "", NO_CLAIM, ""]
        for group in GROUPS:
            lines.append(group.title)
            lines += [f"  {keys.ljust(17)} {words}" for keys, words in listed(group, self.keymap)]
            lines.append("")
        self.put_lines("text", lines)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """There is no help on the help."""
        return False if action == "help" else super().check_action(action, parameters)


def _here(page: Page[Any]) -> Iterator[str]:
    """What the screen is for, its fields, and its keys."""
    if page.PURPOSE:
        yield page.PURPOSE
        yield ""
    if isinstance(page, Form):
        yield "The fields of this form"
        yield from (f"  {field.label}: {visible(field.hint)}{_options(field)}" for field in page.fields)
        yield ""
    yield "The keys of this screen"
    entries = [entry for entry in doable_here(page) if not entry.moves]
    width = max((len(_key(entry)) for entry in entries), default=0)
    for entry in entries:
        yield f"  {_key(entry).ljust(width)}  {entry.words}"
        if entry.reason:
            yield f"    not now: {visible(entry.reason)}"
    yield ""


def _options(field: Field) -> str:
    return f"; one of: {', '.join(visible(option) for option in field.options)}" if field.options else ""


def _key(entry: Doable) -> str:
    return f"({entry.key})" if entry.reason else entry.key
