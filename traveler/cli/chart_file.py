"""The bytes of a chart: of a file, or of standard input, which comes only once and is kept."""

import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

from traveler.errors import BadInput

if TYPE_CHECKING:
    from traveler.acts.chart_file import Blocks

BLOCK_BYTES = 1024 * 1024


def chart_blocks(file: str) -> "Blocks":
    """The bytes of a chart, from their beginning each time they are wanted; ``-`` for standard input.

    Raises BadInput, at once or while reading, where there is nothing to read or more than the shop's file would keep.
    """
    from traveler.acts.chart_file import file_blocks, of_at_most
    from traveler.cli.common import shop_path

    if file != "-":
        return file_blocks(file, shop_path())
    # A file is read again when a question about it is answered, so that what comes once has to stay.
    kept = list(of_at_most("standard input", _standard_input()))
    return lambda: kept


def _standard_input() -> Iterator[bytes]:
    if sys.stdin is None:
        raise BadInput("standard input is closed; expected a file that a logger wrote")
    while block := sys.stdin.buffer.read(BLOCK_BYTES):
        yield block
        if len(block) < BLOCK_BYTES:
            return  # the end was met; at a terminal it would have to be typed once more
