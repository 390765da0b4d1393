"""The file of keys of one's own: read, held against the keys of every screen, and written as a file to begin with."""

import pkgutil
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from textual.binding import Binding
from textual.dom import DOMNode
from textual.widgets import Input

from traveler.errors import BadInput
from traveler.report.words import visible
from traveler.tui.key_names import is_text, key_meant, key_name
from traveler.tui.keys import GROUPS, KEYS

EXPECTED = 'expected one such as "r", "F5", "Page Up" or "Ctrl+T"'
LONGEST_BYTES = 100_000


def read_key_file(path: Path) -> Mapping[str, str]:
    """The keys of one's own by id; none where there is no such file. Raises BadInput with one sentence."""
    try:
        with path.open("rb") as file:
            data = file.read(LONGEST_BYTES + 1)
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise BadInput(f"{path.name}: cannot be read: {error.strerror or error}") from None
    if len(data) > LONGEST_BYTES:
        raise BadInput(
            f'{path.name}: more than {LONGEST_BYTES} bytes; expected lines such as step.record = "F5"'
        )
    try:
        return key_map(data.decode())
    except UnicodeDecodeError:
        raise BadInput(f"{path.name}: is not UTF-8 text") from None
    except tomllib.TOMLDecodeError as error:
        raise BadInput(
            f'{path.name}: {visible(str(error))}; expected lines such as step.record = "F5"'
        ) from None
    except BadInput as error:
        raise BadInput(f"{path.name}: {error}") from None


def key_map(text: str) -> Mapping[str, str]:
    """The keys that a file says, by id, held against every screen. Raises BadInput and TOMLDecodeError."""
    said = {name: _key(name, value) for name, value in _entries(tomllib.loads(text), "")}
    keymap = {name: key for name, key in said.items() if key != KEYS[name].key}
    if keymap:
        _check(keymap)
    return keymap


def key_file_text(keymap: Mapping[str, str]) -> str:
    """A file to begin with: every id with its key, those that are not one's own as comments."""
    lines = ["# Keys of the app. Take the # away before a line and put another key in its place."]
    for group in GROUPS:
        lines += ["", f"# {group.title}"]
        for binding in group.keys:
            name = str(binding.id)
            mark = "" if name in keymap else "# "
            key = key_name(keymap.get(name, binding.key)).replace("\\", "\\\\").replace('"', '\\"')
            lines.append(f'{mark}{name} = "{key}"  # {binding.tooltip}')
    return "\n".join([*lines, ""])


def _entries(table: Mapping[str, Any], before: str) -> Iterator[tuple[str, Any]]:
    for name, value in table.items():
        if isinstance(value, dict):
            yield from _entries(value, f"{before}{name}.")
        else:
            yield f"{before}{name}", value


def _key(name: str, value: object) -> str:
    if name not in KEYS:
        raise BadInput(f"{visible(name)}: no key of the app has this id; traveler keys lists them all")
    key = key_meant(value) if isinstance(value, str) else None
    if key is None:
        shown = f'"{value}"' if isinstance(value, str) else str(value)
        raise BadInput(f"{name}: {visible(shown)[:40]} is no key; {EXPECTED}")
    return key


def _check(keymap: Mapping[str, str]) -> None:
    from traveler.tui.app import TravelerApp
    from traveler.tui.compat import bindings_of
    from traveler.tui.screens.page import Page

    everywhere = list(bindings_of(TravelerApp))
    on_fields = [binding for kind in _kinds("widgets", DOMNode) for binding in _ours(bindings_of(kind))]
    for kind in _kinds("screens", Page):
        own = _ours([*bindings_of(kind), *everywhere])
        letters = any(binding.key.isalpha() and len(binding.key) == 1 for binding in own)
        _check_clashes(own if letters else [*own, *on_fields], keymap)
        if not letters:
            _check_fields(own, keymap)


def _kinds(package: str, base: type[DOMNode]) -> Iterator[type[DOMNode]]:
    """Every kind of ``base`` that a module of a package of the app defines."""
    root = import_module(f"traveler.tui.{package}")
    for found in pkgutil.iter_modules(root.__path__, f"{root.__name__}."):
        for kind in vars(import_module(found.name)).values():
            if isinstance(kind, type) and issubclass(kind, base) and kind.__module__ == found.name:
                yield kind


def _ours(bindings: "Sequence[Binding] | Iterator[Binding]") -> list[Binding]:
    return [binding for binding in bindings if binding.id in KEYS]


def _check_clashes(bindings: Sequence[Binding], keymap: Mapping[str, str]) -> None:
    """Two acts on one key of one screen; those that share a key by themselves are never there at the same time."""
    held: dict[str, Binding] = {}
    for binding in bindings:
        key = keymap.get(str(binding.id), binding.key)
        other = held.setdefault(key, binding)
        if other.action != binding.action and other.key != binding.key:
            moved, there = (other, binding) if other.id in keymap else (binding, other)
            raise BadInput(f"{moved.id}: {key_name(key)} is the key of {there.id} on the same screen")


def _check_fields(bindings: Sequence[Binding], keymap: Mapping[str, str]) -> None:
    """No letter that would be text, and no key that a field edits with."""
    from traveler.tui.compat import bindings_of

    editing = {binding.key for binding in bindings_of(Input)} - {binding.key for binding in bindings}
    for binding in bindings:
        key = keymap.get(str(binding.id))
        if key is None:
            continue
        if is_text(key):
            raise BadInput(f"{binding.id}: {key_name(key)} is text in a field; expected a key such as F5")
        if key in editing:
            raise BadInput(
                f"{binding.id}: {key_name(key)} edits what is typed in a field; expected a key such as F5"
            )
