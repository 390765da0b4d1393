"""The typesetter: a template, texts as data, files, fonts of our own; PDF/A-3a, the same bytes each time."""

import json
import re
from collections.abc import Iterator, Mapping
from datetime import datetime
from importlib.resources import as_file, files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal

from traveler.errors import TravelerError
from traveler.report.long_words import glued, marked

Paper = Literal["a4", "letter"]

# typst's PDF/A check names the text it has no glyph for: could not be displayed with font "DejaVu Sans".
_NO_GLYPH = re.compile(r'the text `"(?P<text>.+?)"` could not be displayed', re.DOTALL)
_ESCAPED = re.compile(r"\\u\{([0-9a-f]+)\}")
_IMPORTED = ("common.typ", "chart.typ")
_FOLDER = "files"


class PictureFault(Exception):
    """One of the pictures is none, or one that PDF/A does not allow."""


def typeset(
    template: str, paper: Paper, content: dict[str, Any], as_of: str, carried: Mapping[str, bytes]
) -> bytes:
    """The PDF of ``content``, dated ``as_of``; the template finds ``carried`` by name under "files".

    Raises TravelerError, naming the character and where it stands, when the fonts cannot draw it; PictureFault where
    a picture cannot be drawn.
    """
    import typst  # loads a large library that only the PDFs need

    texts = glued(content)
    # It takes bytes that are no text from a folder only.
    with as_file(files("traveler.report") / "data") as data, TemporaryDirectory() as folder:
        fonts = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[data / "fonts"]
        )
        root = Path(folder)
        templates = {name: (data / name).read_bytes() for name in (*_IMPORTED, template)}
        _lay_out(root, templates | {f"{_FOLDER}/{name}": raw for name, raw in carried.items()})
        try:
            return typst.compile(
                root / template,
                root=root,
                font_paths=fonts,
                format="pdf",
                sys_inputs={"paper": paper, "sheets": json.dumps(texts | {"marked": marked(texts)})},
                pdf_standards=["a-3a", "ua-1"],
                timestamp=datetime.fromisoformat(as_of),
            )
        except typst.TypstError as error:
            if content.get("photos") and not _NO_GLYPH.search(error.message):
                raise PictureFault(error.message) from error
            raise TravelerError(_fault(error.message, content)) from error


def _lay_out(root: Path, contents: Mapping[str, bytes]) -> None:
    """Put files where the typesetter finds them."""
    try:
        (root / _FOLDER).mkdir()
        for name, content in contents.items():
            (root / name).write_bytes(content)
    except OSError as error:
        raise TravelerError(
            f"{root}: what the PDF is made of cannot be written there ({error.strerror}); make room, or name another "
            "folder for temporary files in TMPDIR"
        ) from error


def _fault(message: str, content: dict[str, Any]) -> str:
    found = _NO_GLYPH.search(message)
    if not found:
        return f"the PDF could not be made: {message}"
    text = _ESCAPED.sub(lambda escape: chr(int(escape[1], 16)), found["text"])
    named = ", ".join(f"U+{ord(char):04X} {char}" for char in text)
    place = next(_places(content, text), "its texts")
    return (
        f"the PDF cannot draw {named} in {place}; its fonts hold Latin, Greek, Cyrillic and a few other "
        "scripts, and the text and JSON exports print it"
    )


def _places(value: Any, text: str, path: str = "") -> Iterator[str]:
    """Where ``text`` stands in the content of the sheets, with the words around it."""
    if isinstance(value, str) and text in value:
        yield f'{path}: "{value if len(value) <= 40 else value[:39] + "…"}"'
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from _places(inner, text, f"{path}, {key}" if path else key)
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from _places(inner, text, f"{path} {_label(inner, number)}")


def _label(inner: Any, position: int) -> str:
    return str(inner["number"]) if isinstance(inner, dict) and "number" in inner else str(position + 1)
