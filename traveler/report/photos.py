"""Which of the files kept with a job can be drawn as photographs on the sheets."""

LARGEST_BYTES = 2 << 20
MOST_PIXELS = 12_000_000
"""A picture of more takes more memory unpacked than the rest of the sheets together."""

_PNG, _JPEG = b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"
_NO_FRAME = frozenset({0xC4, 0xC8, 0xCC})
"""JPEG segments numbered among the frames that are none: tables, an extension, arithmetic coding."""


def picture_form(content: bytes) -> str | None:
    """ "png" or "jpg" by what the file begins with; None where it is neither, too large, or has no size in it."""
    if len(content) > LARGEST_BYTES:
        return None
    if content.startswith(_PNG):
        pixels, form = _png_pixels(content), "png"
    elif content.startswith(_JPEG):
        pixels, form = _jpeg_pixels(content), "jpg"
    else:
        return None
    return form if 0 < pixels <= MOST_PIXELS else None


def _png_pixels(content: bytes) -> int:
    return int.from_bytes(content[16:20], "big") * int.from_bytes(content[20:24], "big")


def _jpeg_pixels(content: bytes) -> int:
    """Height by width of the first frame header (ITU-T T.81 B.2.2); 0 where none is found."""
    at = 2
    while at + 9 <= len(content) and content[at] == 0xFF:
        marker, length = content[at + 1], int.from_bytes(content[at + 2 : at + 4], "big")
        if 0xC0 <= marker <= 0xCF and marker not in _NO_FRAME:
            return int.from_bytes(content[at + 5 : at + 7], "big") * int.from_bytes(
                content[at + 7 : at + 9], "big"
            )
        at += 2 + length
    return 0
