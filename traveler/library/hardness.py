"""Reading ``e140.toml``: the rows by which one hardness scale is converted into another."""

from functools import cache
from itertools import pairwise

from traveler.library.reading import Table, read_data
from traveler.metals.hardness_scales import ScaleRow


@cache
def load_hardness_rows() -> tuple[ScaleRow, ...]:
    """The rows of ASTM E140 table 1, from the softest to the hardest, each with its source.

    Raises TravelerError naming the data file and the key where it is wrong.
    """
    return read_hardness_rows(read_data("e140.toml"))


def read_hardness_rows(data: Table) -> tuple[ScaleRow, ...]:
    """The rows of a conversion table, sorted; every scale must rise with every other."""
    rows = []
    for table in data.tables("table"):
        table.text("name")
        for row in table.tables("rows"):
            hb = row.number_or_none("hb")
            rows.append(
                ScaleRow(
                    hrc=float(row.number("hrc")),
                    hv=float(row.number("hv")),
                    hb=None if hb is None else float(hb),
                    source=row.source(),
                )
            )
            row.done()
        table.done()
    rows.sort(key=lambda row: row.hrc)
    for soft, hard in pairwise(rows):
        brinell_falls = soft.hb is not None and hard.hb is not None and soft.hb >= hard.hb
        if soft.hrc == hard.hrc or soft.hv >= hard.hv or brinell_falls:
            raise data.fault("table", [soft.hrc, hard.hrc], "rows that rise in every scale")
    data.done()
    return tuple(rows)
