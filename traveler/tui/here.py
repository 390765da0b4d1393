"""What can be done on a screen: every key that is bound there, with its words, and why one cannot be used now."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from textual.dom import DOMNode

from traveler.tui.key_kinds import Group
from traveler.tui.key_names import joined, key_name
from traveler.tui.keys import GROUPS
from traveler.tui.screens.page import Page

MOVING = ("move", "page", "step", "pick", "next_field", "app.focus_next", "app.focus_previous", "actions")
"""Actions that only move about, and the one that opens the list itself."""


@dataclass(frozen=True, slots=True)
class Doable:
    """One act by its key: ``label`` as at the bottom of the screen, ``words`` what it does, ``node`` what does it.

    ``reason``: why it cannot be done now, empty where it can.
    """

    name: str
    key: str
    label: str
    words: str
    action: str
    node: DOMNode | None
    reason: str = ""

    @property
    def moves(self) -> bool:
        """Whether it only moves about."""
        return self.action.partition("(")[0] in MOVING


def doable_here(page: Page[Any]) -> list[Doable]:
    """What the keys do on this screen, the way back, the help and what leads elsewhere last."""
    found: dict[str, Doable] = {}
    for active in page.active_bindings.values():
        binding = active.binding
        if binding.id is None:
            continue  # of a field: what every line of text does
        reason = "" if active.enabled else page.why_not(binding.action) or "not now"
        words = binding.tooltip
        if binding.id == "form.commit":
            words = binding.description  # what this form does
        new = Doable(
            binding.id, key_name(binding.key), binding.description, words, binding.action, active.node, reason
        )
        same = found.get(new.action)
        found[new.action] = replace(same, key=joined([same.key, new.key])) if same else new
    return sorted(found.values(), key=_last)


def _last(entry: Doable) -> bool:
    return entry.name.startswith(("app.", "list.")) or entry.action in ("back", "leave", "help", "quit")


def doable_elsewhere(page: Page[Any], keymap: Mapping[str, str]) -> list[Doable]:
    """What other screens do, with the reason that it is not done from here."""
    here = {entry.action for entry in doable_here(page)} | {"back", "leave", "quit"}
    return [
        entry
        for group in GROUPS
        for entry in _of(group, keymap)
        if not entry.moves and entry.action not in here
    ]


def _of(group: Group, keymap: Mapping[str, str]) -> list[Doable]:
    where = f"not here, on: {group.title}"
    return [
        Doable(
            str(b.id), key_name(keymap.get(str(b.id), b.key)), b.description, b.tooltip, b.action, None, where
        )
        for b in group.keys
    ]
