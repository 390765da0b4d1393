"""Every form that a step opens takes a burst, of fields with Tab or with Enter between them, each into its own field.

What arrived in the fields is read from what is kept of a form that was left, so nothing is recorded here.
"""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, Terminal

pytestmark = pytest.mark.terminal

LONG_S = 20.0
ESCAPE = "\x1b"
FORMS = {
    # keys that open it on the preheat step with one cold reading, what is seen, the fields that take text
    "Record": ("r", "F10 Record", ("value", "place", "instrument", "at")),
    "Correct": ("c", "F10 Record", ("reading", "value", "because", "instrument")),
    "Try again": ("t", "F10 Record", ("because",)),
    "performed": ("p", "F10 Sign as performed", ("name", "with")),
    "attach": ("gn", "F10 Record", ("file", "couples", "furnace", "spares", "arcs", "mapping", "answer")),
    "Open a nonconformance": ("nn", "F10 Sign", ("what", "quantity", "readings", "name")),
}


def left_behind(state: Path) -> dict[str, str]:
    """The values of the one form that was left."""
    (file,) = state.rglob("*.json")
    (draft,) = json.loads(file.read_bytes())["drafts"]
    values: dict[str, str] = draft["values"]
    return values


@pytest.mark.parametrize("between", ["\t", "\r"], ids=["Tab", "Enter"])
def test_a_burst_fills_every_form_field_by_field(
    shop_path: Path, opened: Callable[..., Terminal], tmp_path: Path, between: str
) -> None:
    state = tmp_path / "state"
    terminal = opened(shop_path, "H-014", XDG_STATE_HOME=str(state))
    assert terminal.sees("Enter Record", LONG_S)
    terminal.send(f"r212 F\tcorner 1{F10}")
    assert terminal.sees("reading 1 recorded", LONG_S)
    for name, (keys, shown, fields) in FORMS.items():
        terminal.send(keys)
        assert terminal.sees(shown, LONG_S), terminal.display
        marked = [f"{name[:4]} {number}" for number in range(len(fields))]
        # What is proposed in a field is marked when it is entered, but for the first: Ctrl+U empties each.
        terminal.send(between.join(f"\x05\x15{text}" for text in marked))
        terminal.quiet(0.3)
        terminal.send(ESCAPE)
        assert terminal.sees("what you typed is kept", LONG_S), terminal.display
        values = left_behind(state / "traveler" / "unfinished")
        assert [values[field] for field in fields] == marked, name
        terminal.send("u")
        assert terminal.sees("1 unfinished entry", LONG_S)
        terminal.send("dd")
        assert terminal.sees("thrown away", LONG_S)
        for _ in keys:
            terminal.send("q")
            terminal.quiet(0.5)
        assert terminal.sees("Enter Record", LONG_S), terminal.display
