"""From blocks of bytes to batches of lines: encoding, line ends, the hash of the raw bytes; one batch at a time."""

import codecs
import hashlib
import io
from collections.abc import Iterable, Iterator

from traveler.errors import BadInput

LONGEST_LINE = 65_536
"""Characters; 512 columns of a hundred characters fit."""

ENCODINGS = {
    "utf-8": "UTF-8",
    "utf-8-sig": "UTF-8 with a byte order mark",
    "utf-16": "UTF-16",
    "cp1252": "Windows-1252",
}
"""The encodings that are read, in words."""

_BATCH_BYTES = 262_144
_EXPECTED = "expected the text file of a logger (CSV or the like)"
_OTHER_FILES = (
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a spreadsheet or another zip archive"),
    (b"PK\x05\x06", "an empty zip archive"),
    (b"\xd0\xcf\x11\xe0", "a spreadsheet or another binary office file"),
    (b"\x89PNG", "a picture (PNG)"),
    (b"\xff\xd8\xff", "a picture (JPEG)"),
    (b"GIF8", "a picture (GIF)"),
    (b"II*\x00", "a picture (TIFF)"),
    (b"MM\x00*", "a picture (TIFF)"),
    (b"\x1f\x8b", "a compressed file (gzip)"),
    (b"7z\xbc\xaf", "a compressed file (7z)"),
    (b"SQLite format 3\x00", "a database"),
    (b"{\\rtf", "a word processor's text (RTF)"),
    (b"<!DOCTYPE", "a web page"),
    (b"<html", "a web page"),
    (b"<?xml", "an XML file"),
)


class Lines:
    """The lines of a file that comes in blocks of bytes, in batches, read once from the first to the last.

    ``encoding`` is settled as the bytes come. ``sha256`` and ``broken_off`` (the last line has no end) hold once
    the last batch is out. Raises BadInput for a file that is no text, a NUL character, a line without end.
    """

    def __init__(self, blocks: Iterable[bytes]) -> None:
        self.encoding = ""
        self.broken_off = False
        self._hash = hashlib.sha256()
        self._pieces = self._of_equal_size(blocks)
        self._lines_before = 0

    @property
    def sha256(self) -> str:
        """Of the raw bytes read so far, in hexadecimal."""
        return self._hash.hexdigest()

    def batches(self) -> Iterator[list[str]]:
        """Lists of lines without their ends; blank lines are kept, so that numbers of lines can be counted."""
        newlines = io.IncrementalNewlineDecoder(None, translate=True)
        rest = ""
        for text in self._texts():
            if "\r" in text:  # most files have none, and one character is found faster than three
                text = text.replace("\r\r\n", "\r\n")
            plain = rest + newlines.decode(text.replace("\f", ""))
            lines = plain.split("\n")
            if "\0" in plain:
                raise self._nul(lines)
            if max(map(len, lines)) > LONGEST_LINE:
                raise self._too_long(lines)
            rest = lines.pop()
            if lines:
                yield lines
            self._lines_before += len(lines)
        rest += newlines.decode("", final=True)
        # Ctrl-Z ends the text files of old loggers.
        last = rest.removesuffix("\n").removesuffix("\x1a")
        if last:
            self.broken_off = not rest.endswith("\n")
            yield [last]

    def _too_long(self, lines: list[str]) -> BadInput:
        at = next(index for index, line in enumerate(lines) if len(line) > LONGEST_LINE)
        return BadInput(
            f"line {self._lines_before + at + 1} is longer than {LONGEST_LINE} characters; "
            "expected one row of readings a line, with at most 512 columns"
        )

    def _nul(self, lines: list[str]) -> BadInput:
        at = next(index for index, line in enumerate(lines) if "\0" in line)
        return BadInput(
            f"line {self._lines_before + at + 1}, character {lines[at].index(chr(0)) + 1}: read a NUL character, "
            f"which no text holds; {_EXPECTED}, in UTF-8, Windows-1252 or UTF-16 with a byte order mark"
        )

    def _texts(self) -> Iterator[str]:
        first = next(self._pieces, b"")
        _refuse_other_files(first)
        if first.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            self.encoding = "utf-16"
        else:
            self.encoding = "utf-8-sig" if first.startswith(codecs.BOM_UTF8) else "utf-8"
        decoder = codecs.getincrementaldecoder(self.encoding)()
        all_ascii = self.encoding == "utf-8"
        pieces = self._with_end(first)
        for piece, final in pieces:
            pending = decoder.getstate()[0]
            try:
                text = decoder.decode(piece, final)
            except UnicodeDecodeError as error:
                # Bytes that are no UTF-8 after nothing but ASCII: a file of Windows, read as such to its end.
                if not (all_ascii and error.object[: error.start].isascii()):
                    raise self._undecodable(error) from None
                self.encoding = "cp1252"
                decoder = codecs.getincrementaldecoder(self.encoding)()
                text = self._as_windows(decoder, pending + piece, final)
                yield text
                break
            all_ascii = all_ascii and text.isascii()
            yield text
        for piece, final in pieces:
            yield self._as_windows(decoder, piece, final)

    def _as_windows(self, decoder: codecs.IncrementalDecoder, piece: bytes, final: bool) -> str:
        try:
            return decoder.decode(piece, final)
        except UnicodeDecodeError as error:
            raise self._undecodable(error) from None

    def _undecodable(self, error: UnicodeDecodeError) -> BadInput:
        read = error.object[: error.start]
        ends = read.decode(error.encoding, "replace").replace("\r\n", "\n").replace("\r", "\n").count("\n")
        return BadInput(
            f"line {self._lines_before + ends + 1}: read byte 0x{error.object[error.start]:02X}, which is no character "
            f"here; {_EXPECTED}, in UTF-8, Windows-1252 or UTF-16 with a byte order mark"
        )

    def _with_end(self, first: bytes) -> Iterator[tuple[bytes, bool]]:
        yield first, False
        for piece in self._pieces:
            yield piece, False
        yield b"", True

    def _of_equal_size(self, blocks: Iterable[bytes]) -> Iterator[bytes]:
        """Pieces of about one size, however the bytes come, hashed on the way."""
        gathered = bytearray()
        for block in blocks:
            self._hash.update(block)
            gathered += block
            while len(gathered) >= _BATCH_BYTES:
                yield bytes(gathered[:_BATCH_BYTES])
                del gathered[:_BATCH_BYTES]
        if gathered:
            yield bytes(gathered)


def _refuse_other_files(start: bytes) -> None:
    if not start.strip(b" \t\r\n\x1a\xef\xbb\xbf"):
        if len(start) < _BATCH_BYTES:
            raise BadInput(f"the file is empty; {_EXPECTED}")
        return
    for mark, name in _OTHER_FILES:
        if start[: len(mark)].lower() == mark.lower():
            raise BadInput(f"this is {name}, not a text of readings; {_EXPECTED}")
