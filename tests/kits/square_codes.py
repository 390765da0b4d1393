"""Square codes read by other people's code, from modules and from printed sheets."""

import shutil
import subprocess
from pathlib import Path
from typing import Any

import zxingcpp

RASTER = shutil.which("pdftoppm")
"""Draws a sheet; where it is missing, sheets are not looked at."""


def read_modules(square: dict[str, Any], scale: int = 4) -> str:
    """What the code of dark runs says, drawn by us as a picture of ``scale`` dots a module."""
    side = square["size"] * scale
    dots = bytearray(b"\xff" * side * side)
    for column, row, length in square["runs"]:
        for line in range(row * scale, (row + 1) * scale):
            at = line * side + column * scale
            dots[at : at + length * scale] = b"\x00" * (length * scale)
    return _read(bytes(dots), side, side)


def read_sheet(pdf: bytes, sheet: int, folder: Path) -> str:
    """What the only code on a printed sheet says, at 200 dots an inch, black or white as a copier leaves it."""
    assert RASTER is not None
    (folder / "sheet.pdf").write_bytes(pdf)
    subprocess.run(
        [RASTER, "-r", "200", "-mono", "-f", str(sheet), "-l", str(sheet), "sheet.pdf", "sheet"],
        cwd=folder,
        capture_output=True,
        check=True,
    )
    (drawn,) = folder.glob("sheet-*.pbm")
    return _read(*_grey(drawn.read_bytes()))


def _grey(pbm: bytes) -> tuple[bytes, int, int]:
    """A packed bitmap (netpbm P4) as a byte a dot."""
    kind, size, packed = pbm.split(b"\n", 2)
    assert kind == b"P4"
    width, height = map(int, size.split())
    row_bytes = (width + 7) // 8
    dots = bytearray()
    for row in range(height):
        bits = int.from_bytes(packed[row * row_bytes : (row + 1) * row_bytes], "big")
        text = f"{bits:0{row_bytes * 8}b}"[:width]
        dots += text.translate({48: 255, 49: 0}).encode("latin-1")
    return bytes(dots), width, height


def _read(dots: bytes, width: int, height: int) -> str:
    (found,) = zxingcpp.read_barcodes(memoryview(dots).cast("B", (height, width)))
    assert found.format == zxingcpp.BarcodeFormat.QRCode
    return str(found.text)
