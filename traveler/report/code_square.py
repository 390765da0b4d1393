"""A text as a square code (QR, ISO/IEC 18004) that a telephone reads, for the printed sheets."""

import sys
from importlib import import_module
from importlib.util import find_spec, module_from_spec
from itertools import groupby
from types import ModuleType
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
    code = _encoder().encode(text, error="q", micro=False, boost_error=False)
    return {"text": text, "size": len(code.matrix) + 2 * QUIET, "runs": list(_runs(code.matrix))}


def _encoder() -> ModuleType:
    """What makes the codes. Its package would load what writes pictures too, and with that the standard library's part
    for the network, which takes a twentieth of the time of an export.
    """
    is_loaded, spec = "segno" in sys.modules, find_spec("segno")
    if is_loaded or spec is None:
        return import_module("segno.encoder")
    sys.modules["segno"] = module_from_spec(
        spec
    )  # a package in which its modules are found, and nothing else
    try:
        return import_module("segno.encoder")
    finally:
        del sys.modules["segno"]


def _runs(matrix: tuple[bytearray, ...]) -> Any:
    for row, modules in enumerate(matrix):
        column = 0
        for dark, run in groupby(modules):
            length = len(list(run))
            if dark:
                yield [column + QUIET, row + QUIET, length]
            column += length
