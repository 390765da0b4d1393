"""A list of rows with a cursor that stays on its row when the rows change."""

from collections.abc import Sequence
from dataclasses import replace

from textual.widgets.option_list import Option

from traveler.tui.characters import drawable
from traveler.tui.compat import ReversibleList
from traveler.tui.layout import Row


class Rows(ReversibleList):
    """Rows by key. Moves are actions of the screen, so that keys in one burst are taken in their order."""

    def __init__(self) -> None:
        super().__init__(id="rows", compact=True, markup=False)
        self._shown: tuple[Row, ...] = ()

    def show(self, rows: Sequence[Row]) -> None:
        """Show these rows; only what changed is drawn, and the cursor keeps its row."""
        fresh = tuple(self._drawable(row) for row in rows)
        if fresh == self._shown:
            return
        key = self.key
        same_keys = [row.key for row in fresh] == [row.key for row in self._shown]
        if same_keys:
            for index, (new, old) in enumerate(zip(fresh, self._shown, strict=True)):
                if new != old:
                    self.replace_option_prompt_at_index(index, new)
        else:
            self.set_options(Option(row, id=row.key) for row in fresh)
        self._shown = fresh
        if not same_keys:
            self.go_to(key)

    def _drawable(self, row: Row) -> Row:
        lines = tuple(drawable(self, line) for line in row.lines)
        return replace(row, lead=drawable(self, row.lead), lines=lines)

    @property
    def key(self) -> str | None:
        """Key of the row under the cursor; None in an empty list."""
        option = self.highlighted_option
        return option.id if option else None

    def go_to(self, key: str | None) -> None:
        """Put the cursor on that row, or on the first where there is none."""
        keys = [row.key for row in self._shown]
        if keys:
            self.highlighted = keys.index(key) if key in keys else 0

    def move(self, where: str) -> None:
        """up, down, home or end; at the ends the cursor stays."""
        last = len(self._shown) - 1
        if last < 0:
            return
        at = self.highlighted or 0
        self.highlighted = {"up": max(at - 1, 0), "down": min(at + 1, last), "home": 0, "end": last}[where]

    def page(self, where: str) -> None:
        """A page up or down: as many rows as stand in the list at once, at least one."""
        at, step = self.highlighted or 0, -1 if where == "up" else 1
        last, room = len(self._shown) - 1, self.size.height
        if last < 0:
            return
        to = at
        while 0 <= to + step <= last:
            room -= self._shown[to + step].get_height({}, self.size.width)
            if room < 0 and to != at:
                break
            to += step
        self.highlighted = to
