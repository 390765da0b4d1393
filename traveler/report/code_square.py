"""A text as a square code (QR, ISO/IEC 18004) that a telephone reads, for the printed sheets."""

from itertools import groupby
from typing import Any

from traveler.report.words import Object, count_words, visible

QUIET = 4
"""Modules that stay white on each side (ISO/IEC 18004)."""


def code_text(obj: Object) -> str:
    """What ``verify --against`` takes: "K3QF-7YQ2-ABCD-EFGH, 12 events"."""
    return f"{visible(obj['head'])}, {count_words(obj['events'], 'event')}"


def square(text: str) -> dict[str, Any]:
    """The code of ``text``: ``size``, modules on a side with the quiet ones, and the dark ``runs`` of each row.

    A run is its first column, its row and its length. A quarter of it may be smudged (error level Q).
    """
    import segno  # needed by the printed sheets alone

    code = segno.make_qr(text, error="q", boost_error=False)
    return {"text": text, "size": len(code.matrix) + 2 * QUIET, "runs": list(_runs(code.matrix))}


def _runs(matrix: tuple[bytearray, ...]) -> Any:
    for row, modules in enumerate(matrix):
        column = 0
        for dark, run in groupby(modules):
            length = len(list(run))
            if dark:
                yield [column + QUIET, row + QUIET, length]
            column += length
