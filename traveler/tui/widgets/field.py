"""One entry of a form: its label, what is typed or chosen, and what is wrong with it in words beneath."""

from abc import abstractmethod
from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.geometry import Region
from textual.widget import Widget
from textual.widgets import Input, Static

from traveler.acts.typed import LONGEST
from traveler.report.words import visible
from traveler.tui.characters import drawable
from traveler.tui.keys import CHOICE_KEYS
from traveler.tui.widgets.line import Line


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

    def was(self, words: str) -> None:
        """Say beside the entry what stood there before."""
        self.hint = f"{self.hint}; {words}"

    def fault(self, words: str) -> None:
        """Say what is wrong; an empty text takes it away."""
        line = self.query_one(".fault", Static)
        line.update(Content(drawable(self, f"! {visible(words)}") if words else ""))
        line.set_class(bool(words), "-shown")
        if words and self.has_focus_within:
            # Once this line is laid out, and once more: what is said on the status line may take a row from the form.
            self.call_after_refresh(self.scroll_visible, animate=False)
            self.call_after_refresh(self.call_after_refresh, self.scroll_visible, animate=False)


class TextField(Field):
    """A line of text. What is proposed in it is marked when the focus comes, so that typing replaces it.

    ``longest``: as many characters as it takes. ``beside`` gives what stands beside a line that was left, such as the
    value in the other unit.
    """

    def __init__(
        self,
        key: str,
        label: str,
        hint: str,
        value: str = "",
        placeholder: str = "",
        *,
        longest: int = LONGEST,
        beside: Callable[[str], str] | None = None,
    ) -> None:
        super().__init__(key, label, hint)
        self._input = Line(value, f"({visible(placeholder)})" if placeholder else "", longest)
        self._beside = beside
        self._told = ""
        self._refused = False

    def was(self, words: str) -> None:
        """In the empty line as well."""
        super().was(words)
        self._input.placeholder = f"({words})"

    def compose_entry(self) -> ComposeResult:
        """The line, and what stands beside it."""
        yield self._input
        yield Static("", classes="beside", markup=False)

    def on_mount(self) -> None:
        """What came with the form is read back too."""
        self.read_back()

    def on_line_left(self, message: Line.Left) -> None:
        """Read back what was typed."""
        message.stop()
        self.read_back()

    def on_input_changed(self, message: Input.Changed) -> None:
        """What stands beside it is no longer so, and what was refused is past."""
        if self._refused:
            self._refused = False
            self.fault("")
        if self._told and not self._input.has_focus:
            self.read_back()
        elif self._told:
            self._tell("")

    def read_back(self) -> None:
        """Show what stands beside the line."""
        self._tell(self._beside(self.value) if self._beside is not None else "")

    def _tell(self, words: str) -> None:
        if words != self._told:
            self._told = words
            beside = self.query_one(".beside", Static)
            beside.update(Content(drawable(self, visible(words))))
            beside.set_class(bool(words), "-shown")

    def on_line_refused(self, message: Line.Refused) -> None:
        """Say why it was not taken; what was typed before stands as it was."""
        message.stop()
        self.fault(message.words)
        self._refused = True
        self.call_after_refresh(self.scroll_visible, animate=False)

    @property
    def value(self) -> str:
        """What was typed."""
        return self._input.value

    def put(self, value: str) -> None:
        """Type ``value`` in place of what is there, ready to go on behind it."""
        self._input.value = value
        self._input.cursor_position = len(value)
        if self.is_mounted:
            self.read_back()

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
            if self.has_focus:
                self.call_after_refresh(self._keep_chosen_in_view)

    def action_pick(self, number: int) -> None:
        """The option of that number."""
        self.choose(number - 1)

    def action_step(self, by: int) -> None:
        """The next option below or above."""
        at = -1 if self.chosen is None else self.chosen
        self.choose(min(max(at + by, 0), len(self.options) - 1))

    def _keep_chosen_in_view(self) -> None:
        """On a low screen a long list is taller than the form."""
        around = next((parent for parent in self.ancestors if isinstance(parent, VerticalScroll)), None)
        if around is None or self.chosen is None:
            return
        above = sum(line.get_height({}, self.size.width) for line in self._lines()[: self.chosen])
        top = self.region.y - around.region.y + round(around.scroll_y) + above
        around.scroll_to_region(Region(0, top, 1, 1), animate=False)

    def _lines(self) -> list[Content]:
        lines = []
        for index, option in enumerate(self.options):
            mark = ">" if index == self.chosen else " "
            line = Content(f"{mark} {index + 1} {drawable(self, visible(option))}")
            lines.append(line.stylize("bold") if index == self.chosen else line)
        return lines

    def _draw(self) -> None:
        self.update(Content("\n").join(self._lines()))


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
