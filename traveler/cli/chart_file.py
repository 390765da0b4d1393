"""The bytes of a chart: of a file, or of standard input, which comes only once and is kept."""

import sys
from collections.abc import Callable, Iterable, Iterator

from traveler.errors import BadInput

Blocks = Callable[[], Iterable[bytes]]
BLOCK_BYTES = 1024 * 1024


def chart_blocks(file: str) -> Blocks:
    """The bytes of a chart, from their beginning each time they are wanted; ``-`` for standard input.

    Raises BadInput, at once or while reading, where there is nothing to read or more than the shop's file would keep.
    """
    return _kept("standard input", _standard_input()) if file == "-" else regular_file_blocks(file)


def regular_file_blocks(file: str) -> Blocks:
    """The same for a file that is to be kept: ``-`` is the name of a file like any other."""
    from traveler.acts.chart_file import file_blocks
    from traveler.cli.common import shop_path

    opened = file_blocks(file, shop_path())
    return lambda: _of_at_most(file, opened())


def _standard_input() -> Iterator[bytes]:
    if sys.stdin is None:
        raise BadInput("standard input is closed; expected a file that a logger wrote")
    while block := sys.stdin.buffer.read(BLOCK_BYTES):
        yield block


def _kept(name: str, blocks: Iterable[bytes]) -> Blocks:
    """A file is read again when a question about it is answered, so that what comes once has to stay."""
    kept = list(_of_at_most(name, blocks))
    return lambda: kept


def _of_at_most(name: str, blocks: Iterable[bytes]) -> Iterator[bytes]:
    from traveler.record.attachments import LARGEST_BYTES

    size = 0
    for block in blocks:
        size += len(block)
        if size > LARGEST_BYTES:
            raise BadInput(
                f"{name} is larger than {LARGEST_BYTES // BLOCK_BYTES} MiB; expected a smaller file"
            )
        yield block
