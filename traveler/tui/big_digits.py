"""Digits five lines high, of plain characters, to be read from where one stands with the torch."""

ROWS = 5
_SHAPES = {
    "0": ("###", "# #", "# #", "# #", "###"),
    "1": (" # ", "## ", " # ", " # ", "###"),
    "2": ("###", "  #", "###", "#  ", "###"),
    "3": ("###", "  #", " ##", "  #", "###"),
    "4": ("# #", "# #", "###", "  #", "  #"),
    "5": ("###", "#  ", "###", "  #", "###"),
    "6": ("#  ", "#  ", "###", "# #", "###"),
    "7": ("###", "  #", " # ", " # ", " # "),
    "8": ("###", "# #", "###", "# #", "###"),
    "9": ("###", "# #", "###", "  #", "  #"),
    ".": (" ", " ", " ", " ", "#"),
    ":": (" ", "#", " ", "#", " "),
    "-": ("   ", "   ", "###", "   ", "   "),
    "/": ("  #", "  #", " # ", "#  ", "#  "),
    " ": (" ", " ", " ", " ", " "),
}
_CELLS_A_DOT = 2


def big(text: str, width: int) -> list[str] | None:
    """``text`` in big digits, ``ROWS`` lines of at most ``width`` cells; None where it has no shape or no room."""
    if not text or any(character not in _SHAPES for character in text):
        return None
    lines = [
        " ".join("".join(dot * _CELLS_A_DOT for dot in _SHAPES[character][row]) for character in text)
        for row in range(ROWS)
    ]
    return lines if len(lines[0]) <= width else None
