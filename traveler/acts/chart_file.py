"""The file of a chart on this machine, and what a person types about its columns."""

import contextlib
import csv
import os
import stat
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

from traveler.errors import BadInput
from traveler.quantity.parse import echo
from traveler.record import attachments

BLOCK_BYTES = 1024 * 1024
EXPECTED = "expected a file that a logger wrote"
LONGEST_PATH = 200
"""Characters of a path that are said in a sentence about it."""

Blocks = Callable[[], Iterable[bytes]]
"""Opens the file anew and hands out its bytes: it is read once to be judged and once to be kept."""


def file_blocks(file: str, shop_path: Path, expected: str = EXPECTED) -> Blocks:
    """The bytes of a regular file, each time from its beginning. Raises BadInput for anything else.

    What stands under the name is looked at again each time: it may be another file by then.
    """
    if not file.strip():
        raise BadInput(f"the name of the file is empty; {expected}")
    path = os.path.expanduser(file)
    said = file if len(file) <= LONGEST_PATH else f"{file[: LONGEST_PATH - 3]}..."

    def refuse_others() -> None:
        if not stat.S_ISREG(os.stat(path).st_mode):
            raise BadInput(f"{said} is a folder, a device or a pipe; {expected}")
        # Closing another handle on the shop's own file would drop the locks of this program.
        if shop_path.exists() and os.path.samefile(path, shop_path):
            raise BadInput(f"{said} is the shop's file itself; {expected}")

    def blocks() -> Iterator[bytes]:
        with _readable(said, expected):
            refuse_others()
            with open(path, "rb") as content:
                while block := content.read(BLOCK_BYTES):
                    yield block

    with _readable(said, expected):
        refuse_others()
    return lambda: of_at_most(said, blocks())


@contextlib.contextmanager
def _readable(said: str, expected: str) -> Iterator[None]:
    """Makes a sentence of whatever the system has against reading the file."""
    try:
        yield
    except (OSError, ValueError) as error:
        told = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise BadInput(f"{said} cannot be read: {told}; {expected}") from error


def of_at_most(name: str, blocks: Iterable[bytes]) -> Iterator[bytes]:
    """The blocks, as long as they are no more than the shop's file keeps of one file. Raises BadInput beyond."""
    size = 0
    for block in blocks:
        size += len(block)
        if size > attachments.LARGEST_BYTES:
            raise BadInput(
                f"{name} is larger than {attachments.LARGEST_BYTES // BLOCK_BYTES} MiB; expected a smaller file"
            )
        yield block


def names_typed(texts: Sequence[str]) -> tuple[str, ...]:
    """Names with commas between them; one that has a comma itself stands in quotes, as it would in the file."""
    return tuple(name for text in texts for name in _names(text))


def _names(text: str) -> Iterator[str]:
    expected = "expected names such as TC1, TC2"
    try:
        row = next(csv.reader([text], skipinitialspace=True, strict=True))
    except csv.Error as error:
        raise BadInput(
            f'"{echo(text)}" cannot be read as names; {expected}, one that has a comma itself in quotes'
        ) from error
    for name in row or [""]:
        if not name.strip():
            raise BadInput(f"the name of a couple is empty; {expected}")
        yield name.strip()


def spares_typed(texts: Sequence[str]) -> dict[str, str]:
    """Spare to the couple it stands in for, from "TC5=TC1"."""
    spares: dict[str, str] = {}
    for text in texts:
        spare, couple = _pair(text, "the spare and the couple it stands in for, such as TC5=TC1")
        if spare in spares:
            raise BadInput(f'the spare "{echo(spare)}" is named twice; expected it once')
        spares[spare] = couple
    return spares


def arcs_typed(texts: Sequence[str]) -> dict[int, str]:
    """Run of weld to the time at which its arc was started, from "1=10:02"."""
    arcs: dict[int, str] = {}
    for text in texts:
        run, at = _pair(text, "run and time, such as 1=10:02")
        if not (run.isascii() and run.isdigit() and 1 <= int(run) <= 9999):
            raise BadInput(f'"{echo(run)}" is no run of weld; expected a number from 1 to 9999')
        if int(run) in arcs:
            raise BadInput(f"run {int(run)} is marked twice; expected each run once")
        arcs[int(run)] = at
    return arcs


def _pair(text: str, expected: str) -> tuple[str, str]:
    first, _, second = (part.strip() for part in text.partition("="))
    if not (first and second):
        raise BadInput(f'"{echo(text)}" cannot be read; expected {expected}')
    return first, second
