"""Digits five lines high, of plain characters, to be read from where one stands with the torch."""

ROWS = 5
COLUMNS = 7
"""Of one digit, with the gap behind it."""
_CELLS_A_DOT = 2
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
    ".": ("   ", "   ", "   ", "   ", " # "),
    ":": ("   ", " # ", "   ", " # ", "   "),
    "-": ("   ", "   ", "###", "   ", "   "),
    "/": ("  #", "  #", " # ", "#  ", "#  "),
    " ": ("   ", "   ", "   ", "   ", "   "),
}


def can_be_big(text: str, most: int) -> bool:
    """Whether every character has a shape, and there are at most so many."""
    return len(text) <= most and all(character in _SHAPES for character in text)


def shape(character: str) -> tuple[str, ...]:
    """The lines of one character that has a shape, ``ROWS`` of them, ``COLUMNS`` wide."""
    return tuple("".join(dot * _CELLS_A_DOT for dot in row).ljust(COLUMNS) for row in _SHAPES[character])
