"""The registers on a slow line: bytes, and a burst from the board to what it enters."""

from collections.abc import Callable
from pathlib import Path

import pytest
from pty_kit import F10, Terminal

pytestmark = pytest.mark.terminal

DOWN = "\x1b[B"


def cost(terminal: Terminal, keys: str) -> int:
    """Bytes that the keys bring about."""
    terminal.send(keys)
    return len(terminal.quiet(1.5))


def test_the_registers_are_sparing_with_bytes(shop_path: Path, opened: Callable[..., Terminal]) -> None:
    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job")
    assert cost(terminal, "r") <= 20_000
    assert terminal.sees("Registers of")
    terminal.quiet(0.7)
    for _ in range(3):
        assert cost(terminal, DOWN) <= 1200
    assert cost(terminal, "\r") <= 20_000
    assert terminal.sees("No fillers yet")
    assert cost(terminal, "n") <= 20_000
    assert cost(terminal, "4") <= 300
    assert cost(terminal, "\t") <= 8000
    assert terminal.quiet(3) == b""


def test_a_burst_from_the_board_receives_a_lot_and_tells_where_it_went(
    shop_path: Path, opened: Callable[..., Terminal]
) -> None:
    from traveler.acts.register import register_of
    from traveler.record.shop import Shop

    terminal = opened(shop_path)
    assert terminal.sees("Enter Open job")
    terminal.send(f"r{DOWN}{DOWN}\rn4130\tA7731\t3\t\tSteel works, invented\t1{F10}w")
    assert terminal.sees("Where did it go: L1 4130")
    assert terminal.sees("1 job")
    with Shop.open(shop_path, read_only=True) as shop:
        (lot,) = register_of(shop).lots
    assert (lot.name, lot.heat, lot.certificate, lot.supplier, lot.verified_by) == (
        "4130",
        "A7731",
        "3.1",
        "Steel works, invented",
        "certificate",
    )
