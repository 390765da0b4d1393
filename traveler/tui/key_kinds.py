"""The kinds of keys: which are taken in a burst before what follows them, and which wait in a queue."""

from dataclasses import dataclass

from textual.binding import Binding


@dataclass(frozen=True, slots=True)
class Group:
    """The keys of one kind of screen, under a heading."""

    title: str
    keys: tuple[Binding, ...]


def pressed(key: str, action: str, words: str, name: str, tooltip: str, shown: str | None = None) -> Binding:
    """A key that opens, closes or records: taken before what follows it in a burst."""
    return Binding(
        key, action, words, show=shown is not None, key_display=shown, priority=True, tooltip=tooltip, id=name
    )


def moving(key: str, action: str, name: str, tooltip: str) -> Binding:
    """A key that moves the focus or the cursor, and stands on no line of keys."""
    return Binding(key, action, tooltip, show=False, priority=True, tooltip=tooltip, id=name)


def queued(key: str, action: str, words: str, name: str, tooltip: str, shown: str | None = None) -> Binding:
    """A key that waits in the queue of the field or list in focus."""
    return Binding(key, action, words, show=shown is not None, key_display=shown, tooltip=tooltip, id=name)
