"""Which row of a thickness table a part falls in."""

from traveler.library.model import ThicknessRow, ThicknessTable, Units
from traveler.quantity.quantity import Quantity


def row_for(table: ThicknessTable, thickness: Quantity, units: Units) -> ThicknessRow:
    """The row that governs ``thickness``: between two rows the thicker one, never a value in between.

    ``units`` choose which of a row's two printed ends counts. A thickness over a row's end by no more than
    the table's ``grace_mm``, whatever unit it was typed in, still is that row: 9.5 mm plate is sold as 3/8 in
    and the other way round. Raises ValueError for no thickness at all, and where the table ends below it.
    """
    if thickness.canonical <= 0:
        raise ValueError(f"a thickness of {thickness.text} {thickness.unit.label} is no thickness")
    least_end_mm = thickness.canonical - table.grace_mm
    for row in table.rows:
        if row.up_to is None or least_end_mm <= row.up_to.for_units(units).canonical:
            return row
    raise ValueError(f"{table.name} ends below {thickness.text} {thickness.unit.label}")
