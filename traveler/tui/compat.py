"""The only file that overrides what Textual does not offer for it; tests/terminal measures that each works."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, ClassVar

from rich.color import ColorSystem
from rich.console import Console
from textual._compositor import ChopsUpdate, CompositorUpdate, LayoutUpdate
from textual.actions import ActionParseResult
from textual.app import App, ReturnType
from textual.binding import Binding, BindingsMap
from textual.dom import DOMNode
from textual.driver import Driver
from textual.events import Event, InputEvent, Paste, Resize
from textual.geometry import Size
from textual.message import Message
from textual.reactive import Reactive
from textual.screen import Screen, ScreenResultType
from textual.scrollbar import ScrollBar, ScrollBarRender
from textual.strip import Strip
from textual.style import Style
from textual.widget import Widget
from textual.widgets import OptionList

from traveler.errors import TravelerError
from traveler.tui.key_names import key_name
from traveler.tui.keys import KEYS
from traveler.tui.shown import Shown

NO_KEYS: Mapping[str, str] = MappingProxyType({})


class WholeCells(ScrollBarRender):
    """A bar of whole cells in reverse: it shows in two colours, and takes no character that a font may lack."""

    VERTICAL_BARS: ClassVar[list[str]] = [" "]
    HORIZONTAL_BARS: ClassVar[list[str]] = [" "]


ScrollBar.renderer = WholeCells


class QuietScreen(Screen[ScreenResultType]):
    """A screen that is not painted anew as a whole each time the focus moves.

    Textual 8.2.8 repaints everything on a change of focus, several kilobytes on a slow line; the two fields concerned
    repaint themselves anyway. Drop this class once ``Screen.focused`` no longer repaints.
    """

    focused: Reactive[Widget | None] = Reactive(None, repaint=False)

    async def _dispatch_message(self, message: Message) -> None:
        """As ``MessagePump._dispatch_message``; what a person is told in a sentence does not end the app."""
        try:
            await super()._dispatch_message(message)
        except TravelerError as error:
            self.mishap(error)

    def mishap(self, error: TravelerError) -> None:
        """Something that was asked for could not be done."""

    def classed_for(self, size: Size) -> None:
        """Take the classes of a size before anything of the screen is styled.

        Textual 8.2.8 gives them at the first resize, and styles every widget a second time for it.
        """
        app = self.app
        for length, breakpoints in (
            (size.width, app.HORIZONTAL_BREAKPOINTS),
            (size.height, app.VERTICAL_BREAKPOINTS),
        ):
            found = self._get_breakpoint_classes(length, breakpoints or [])
            self.update_classes(dict.fromkeys(found, True), update=False)

    @property
    def _binding_chain(self) -> list[tuple[DOMNode, BindingsMap]]:
        """As ``Screen._binding_chain``, with the keys of one's own before a field takes the letters out.

        ``App.set_keymap`` of Textual 8.2.8 puts them in after that, takes away every binding of a key that one of
        them leaves, and moves what it changes to the end of the line of keys.
        """
        app = self.app
        if isinstance(app, HeedingApp) and app.keymap:
            for node in (self, app, *(self.focused.ancestors_with_self if self.focused else ())):
                node._bindings = remapped(node._bindings, app.keymap)
        return super()._binding_chain


NARROWEST = Size(6, 2)
"""Below it Textual 8.2.8 divides a width of nothing into lines, and ends with its own error."""


def roomy(size: Size) -> Size:
    """``size``, or what must at least be laid out; what does not fit on the terminal is not seen there."""
    return Size(max(size.width, NARROWEST.width), max(size.height, NARROWEST.height))


class Sparing(CompositorUpdate):
    """An update of the screen of which only that is sent which the terminal does not show yet.

    Textual 8.2.8 sends every line of a widget that is laid out anew, and a line from the left edge of its widget on.
    A screen that is painted as a whole is sent as a whole, so that what a terminal lost comes back with it.
    """

    def __init__(self, shown: Shown, update: LayoutUpdate | ChopsUpdate) -> None:
        self._shown = shown
        self._update = update

    def render_segments(self, console: Console) -> str:
        """As ``CompositorUpdate.render_segments``."""
        if isinstance(self._update, LayoutUpdate):
            return self._shown.whole(self._update.strips)
        return self._shown.changed(_parts(self._update))


def _parts(update: ChopsUpdate) -> Iterator[tuple[int, int, Strip]]:
    """The strips of an update, each with its x and y."""
    for y, left, right in update.spans:
        for end, (x, strip) in zip(update.chop_ends[y], update.chops[y].items(), strict=True):
            if strip is not None and x < right and end > left:
                yield x, y, strip.crop(0, min(end, right) - x)


class HeedingApp(App[ReturnType]):
    """An app that notices each key, and lets keys fall while it is ``deaf``.

    Textual 8.2.8 has no place before the bindings where a key, or a text that is pasted, can be seen or dropped.
    """

    deaf = False
    leaving = False
    """Whether the app was told to end; whoever waits for something else then stops waiting."""
    ascii = False
    """Whether nothing but ASCII is drawn, what somebody typed aside."""
    keymap: Mapping[str, str] = NO_KEYS
    """Keys of one's own by the id of the binding."""
    _read_for = ""
    _shown: Shown | None = None

    def _display(self, screen: Screen[Any], renderable: Any) -> None:
        """As ``App._display``, sending only what changed."""
        if isinstance(renderable, LayoutUpdate | ChopsUpdate):
            if self._shown is None:
                self._shown = Shown(self.console._color_system or ColorSystem.TRUECOLOR)
            renderable = Sparing(self._shown, renderable)
        super()._display(screen, renderable)

    def get_driver_class(self) -> type[Driver]:
        """As ``App.get_driver_class``; in place of the one that asks all the time one that waits."""
        found = super().get_driver_class()
        if found.__name__ != "LinuxDriver":
            return found
        from traveler.tui.patient_driver import PatientDriver  # cannot be imported on Windows

        return PatientDriver

    def key_of(self, name: str) -> str:
        """The key of that id as it is printed on the keyboard."""
        return key_name(self.keymap.get(name, KEYS[name].key))

    async def run_action(
        self,
        action: "str | ActionParseResult",
        default_namespace: DOMNode | None = None,
        namespaces: Mapping[str, DOMNode] | None = None,
    ) -> bool:
        """As ``App.run_action``; what a person is told in a sentence does not end the app."""
        try:
            return await super().run_action(action, default_namespace, namespaces)
        except TravelerError as error:
            if not isinstance(self.screen, QuietScreen):
                raise
            self.screen.mishap(error)
            return True

    @property
    def size(self) -> Size:
        """As ``App.size``, but never so narrow that nothing is left to lay out in."""
        return roomy(super().size)

    async def on_event(self, event: Event) -> None:
        """As ``App.on_event``; what comes from the keyboard or the mouse passes here first."""
        if isinstance(event, Resize):
            if self._shown is not None:
                self._shown.forget()
            event = Resize(roomy(event.size), roomy(event.virtual_size))
            if self.screen_stack and event.size == self.screen.size != self.size:
                # Back at the size that is laid out before another one was: Textual 8.2.8 sees no change then, and what
                # the terminal lost in between stays lost.
                self.screen.refresh()
        if isinstance(event, InputEvent | Paste) and not event.is_forwarded:
            self.heard()
            if self.deaf:
                return
        await super().on_event(event)

    def push_screen(self, screen: Any, *args: Any, **kwargs: Any) -> Any:
        """As ``App.push_screen``; nothing is painted before what the screen shows stands on it.

        Textual 8.2.8 paints the whole of a new screen three times, twelve kilobytes on a slow line.
        """
        if isinstance(screen, QuietScreen):
            screen.classed_for(self.size)
        self._begin_batch()
        try:
            return super().push_screen(screen, *args, **kwargs)
        finally:
            self.call_later(self._paint_once)

    def _paint_once(self) -> None:
        """What was held back is painted, whatever of it was dropped meanwhile."""
        self._end_batch()
        if self.is_running and self.screen_stack:
            self.screen.refresh()

    def start_with(self, theme: str) -> None:
        """Take a theme before any style is read; Textual 8.2.8 reads all of them for its own first, and then anew."""
        self.theme = theme
        self.stylesheet.set_variables(self.get_css_variables())
        self._read_for = theme

    def refresh_css(self, animate: bool = True) -> None:
        """As ``App.refresh_css``; not for the theme that the styles are being read for at the start."""
        started, self._read_for = self._read_for, ""
        if started != self.theme:
            super().refresh_css(animate)

    def heard(self) -> None:
        """Something was pressed, pasted or moved."""

    def hear_again(self) -> None:
        """Deaf no longer, once what was pressed up to now has fallen."""
        self.call_later(setattr, self, "deaf", False)


class ReversibleList(OptionList):
    """A list whose styles may ask for reverse video, the only cursor that shows in 16 colours and in none.

    Textual 8.2.8 leaves ``reverse`` out where it gathers the style of an option. It also paints the whole list anew
    for each move of the cursor, kilobytes on a slow line; here the two options concerned are. Drop this class once
    neither is so.
    """

    highlighted: Reactive[int | None] = Reactive(None, repaint=False)

    def _watch_highlighted(self, before: int | None, highlighted: int | None) -> None:
        """Paint the option that had the cursor and the one that has it; a list that scrolls is painted anyway."""
        for index in (before, highlighted):
            if index is not None and index in self._index_to_line:
                self.refresh_lines(self._index_to_line[index], self._heights.get(index, 1))

    def get_visual_style(self, *component_classes: str, partial: bool = False) -> Style:
        """As ``Widget.get_visual_style``, reverse included."""
        style = super().get_visual_style(*component_classes, partial=partial)
        if any(self.get_component_styles(name).text_style.reverse for name in component_classes):
            return style + Style(reverse=True)
        return style


def remapped(bindings: BindingsMap, keymap: Mapping[str, str]) -> BindingsMap:
    """Bindings in their order, each on its key of ``keymap`` where it has one there."""
    keys: dict[str, list[Binding]] = {}
    for _, binding in bindings:
        key = keymap.get(str(binding.id))
        if key is not None and key != binding.key:
            binding = binding.with_key(key, key_name(key) if binding.key_display else None)
        keys.setdefault(binding.key, []).append(binding)
    return BindingsMap.from_keys(keys)


def bindings_of(kind: type[DOMNode]) -> Iterator[Binding]:
    """The bindings of a kind of widget with those that it inherits."""
    for _, binding in kind._merge_bindings():
        yield binding
