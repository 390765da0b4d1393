"""One entry of a form: its label, what is typed or chosen, and what is wrong with it in words beneath."""

from abc import abstractmethod
from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Input, Static

from traveler.report.words import visible
from traveler.tui.keys import CHOICE_KEYS


class Field(Vertical):
    """``key`` names the field in what the form hands over; ``hint`` is shown while it has the focus.

    ``options``: what it is chosen from; empty where it is typed.
    """

    options: Sequence[str] = ()

    def __init__(self, key: str, label: str, hint: str) -> None:
        super().__init__(id=f"field-{key}")
        self.key = key
        self.label = label
        self.hint = hint

    def compose(self) -> ComposeResult:
        """Label and entry side by side, the fault beneath."""
        with Horizontal():
            yield Static(self.label, classes="label", markup=False)
            yield from self.compose_entry()
        yield Static("", classes="fault", markup=False)

    @abstractmethod
    def compose_entry(self) -> ComposeResult:
        """The widget that takes the entry."""

    @property
    @abstractmethod
    def value(self) -> str:
        """What was entered."""

    @abstractmethod
    def put(self, value: str) -> None:
        """Enter ``value`` in place of what is there."""

    @property
    @abstractmethod
    def entry(self) -> Widget:
        """The widget that takes the focus."""

    def fault(self, words: str) -> None:
        """Say what is wrong; an empty text takes it away."""
        line = self.query_one(".fault", Static)
        line.update(Content(f"! {visible(words)}" if words else ""))
        line.set_class(bool(words), "-shown")


class TextField(Field):
    """A line of text. What is proposed in it is marked when the focus comes, so that typing replaces it."""

    def __init__(self, key: str, label: str, hint: str, value: str = "", placeholder: str = "") -> None:
        super().__init__(key, label, hint)
        self._input = Input(value, visible(placeholder), select_on_focus=bool(value), compact=True)
        self._input.cursor_blink = False

    def compose_entry(self) -> ComposeResult:
        """The line."""
        yield self._input

    @property
    def value(self) -> str:
        """What was typed."""
        return self._input.value

    def put(self, value: str) -> None:
        """Type ``value`` in place of what is there, ready to go on behind it."""
        self._input.value = value
        self._input.cursor_position = len(value)

    @property
    def entry(self) -> Widget:
        """The line."""
        return self._input


class Choices(Static, can_focus=True):
    """Numbered options; a digit takes one, the arrows move. Long options wrap."""

    BINDINGS: ClassVar[list[BindingType]] = list(CHOICE_KEYS)

    def __init__(self, options: Sequence[str]) -> None:
        super().__init__(markup=False)
        self.options = tuple(options)
        self.chosen: int | None = None

    def on_mount(self) -> None:
        """Draw the options."""
        self._draw()

    def choose(self, index: int) -> None:
        """Take the option at ``index`` where there is one."""
        if 0 <= index < len(self.options):
            self.chosen = index
            self._draw()

    def action_pick(self, number: int) -> None:
        """The option of that number."""
        self.choose(number - 1)

    def action_step(self, by: int) -> None:
        """The next option below or above."""
        at = -1 if self.chosen is None else self.chosen
        self.choose(min(max(at + by, 0), len(self.options) - 1))

    def _draw(self) -> None:
        lines = []
        for index, option in enumerate(self.options):
            mark = ">" if index == self.chosen else " "
            line = Content(f"{mark} {index + 1} {visible(option)}")
            lines.append(line.stylize("bold") if index == self.chosen else line)
        self.update(Content("\n").join(lines))


class ChoiceField(Field):
    """One of the options of a requirement; empty until one is taken."""

    def __init__(self, key: str, label: str, hint: str, options: Sequence[str]) -> None:
        super().__init__(key, label, hint)
        self.options = tuple(options)
        self._choices = Choices(options)

    def compose_entry(self) -> ComposeResult:
        """The options."""
        yield self._choices

    @property
    def value(self) -> str:
        """The option taken, as the record holds it."""
        chosen = self._choices.chosen
        return "" if chosen is None else self._choices.options[chosen]

    def put(self, value: str) -> None:
        """Take the option that reads so."""
        if value in self._choices.options:
            self._choices.choose(self._choices.options.index(value))

    @property
    def entry(self) -> Widget:
        """The options."""
        return self._choices
