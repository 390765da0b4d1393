"""The completed traveler as PDF, in a process of its own, against a process that sets one empty page."""

import sys
from collections.abc import Iterator
from functools import partial

from files import Files
from measured import Figure, Measured, alternate
from processes import TRAVELER, run_s
from pypdf import PdfReader
from sizes import Sizes

JOB = "DEMO-6"
"""Of the demo shop: it has a chart, and its dossier some twelve sheets."""
_EMPTY = """
import typst
typst.compile(b"", format="pdf", font_paths=typst.Fonts(include_system_fonts=False, include_embedded_fonts=False))
"""


def dossier(sizes: Sizes, files: Files) -> Iterator[Measured]:
    """The dossier of a job of the demo shop; how many sheets it has is counted in what came out."""
    pdf = files.folder / "dossier.pdf"
    command = [*TRAVELER, "export", JOB, "--format", "pdf", "--output", str(pdf), "--shop", str(files.demo)]
    figure = Figure("dossier", "dossier of a job of the demo shop", "one empty typst page", "beyond", 0.5)
    pairs = alternate(sizes.rounds, partial(run_s, command), partial(run_s, [sys.executable, "-c", _EMPTY]))
    yield figure.of_times(pairs, notes={"sheets": len(PdfReader(pdf).pages)})
