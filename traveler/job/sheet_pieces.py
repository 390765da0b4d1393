"""How many pieces go through a job together, and their serials."""

from traveler.job.sheet_fields import Table

MOST_PIECES = 9999
QUANTITY = f"how many pieces are made, a whole number from 1 to {MOST_PIECES}"
SERIAL = "the serial of a piece, such as RU3-01"


def read_pieces(table: Table) -> tuple[int, tuple[str, ...]]:
    """How many pieces, 1 where it is left out, and their serials: none, or one for each."""
    quantity = table.integer("quantity", QUANTITY, at_most=MOST_PIECES, required=False)
    serials = table.names("serials", SERIAL)
    known = quantity is not None or not table.has("quantity")
    written, pieces = table.length("serials"), quantity or 1
    if written and known and written != pieces:
        read = f"read {written} serial{'' if written == 1 else 's'} for {pieces} piece{'' if pieces == 1 else 's'}"
        table.fault("serials", read, "as many as the quantity")
    return pieces, serials
