"""Conversion between hardness scales by the rows of a table; the rows are handed in.

Between two rows the conversion is linear, as users of ASTM E140 read its table. Nothing is said outside the
table: below 20 HRC the Rockwell C scale itself ends. Rounding to the safe side is the caller's choice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from typing import Literal

from traveler.metals.outcome import Mark, Outcome, Source

Scale = Literal["HV", "HRC", "HB"]

_HOMOGENEOUS = "the table holds for steel that is alike throughout, not for a zone as narrow as beside a weld"
_WEAKEST_FIRST: tuple[Mark, ...] = ("common practice, no published source", "memory", "secondary", "seen")


@dataclass(frozen=True, slots=True)
class ScaleRow:
    """One row of a conversion table; ``hb`` is None where the row has no Brinell number."""

    hrc: float
    hv: float
    hb: float | None
    source: Source


def hv_from_hrc(rows: Sequence[ScaleRow], hrc: float) -> Outcome:
    """Vickers hardness for a Rockwell C hardness [HV].

    Inputs: ``rows`` in any order; ``hrc`` [HRC]. Linear between two rows. Validity: within the rows, else ``not
    tabulated`` and no value; homogeneous carbon and alloy steel, and a reason says so.
    Raises ValueError for a hardness that is not greater than zero and for a table without such rows. Source: that
    of the rows used, the weaker mark of the two.

    >>> book = Source("ASTM E140 table 1", "secondary")
    >>> rows = [ScaleRow(24, 260, 247, book), ScaleRow(22, 248, 237, book), ScaleRow(20, 238, 226, book)]
    >>> hv_from_hrc(rows, 22).value, hv_from_hrc(rows, 23).value, hv_from_hrc(rows, 19).value
    (248.0, 254.0, None)
    """
    return _convert(rows, hrc, "HRC", "HV")


def hrc_from_hv(rows: Sequence[ScaleRow], hv: float) -> Outcome:
    """Rockwell C hardness for a Vickers hardness [HRC]; none below 20 HRC.

    Inputs, validity, errors, source: as ``hv_from_hrc``.

    >>> book = Source("ASTM E140 table 1", "secondary")
    >>> rows = [ScaleRow(22, 248, 237, book), ScaleRow(20, 238, 226, book)]
    >>> hrc_from_hv(rows, 243).value, hrc_from_hv(rows, 237.9).status
    (21.0, 'not tabulated')
    """
    return _convert(rows, hv, "HV", "HRC")


def hb_from_hv(rows: Sequence[ScaleRow], hv: float) -> Outcome:
    """Brinell hardness for a Vickers hardness [HB].

    Inputs, validity, errors, source: as ``hv_from_hrc``, over the rows that have a Brinell number.

    >>> book = Source("ASTM E140 table 1", "secondary")
    >>> hb_from_hv([ScaleRow(22, 248, 237, book), ScaleRow(20, 238, 226, book)], 248).value
    237.0
    """
    return _convert(rows, hv, "HV", "HB")


def hv_from_hb(rows: Sequence[ScaleRow], hb: float) -> Outcome:
    """Vickers hardness for a Brinell hardness [HV].

    Inputs, validity, errors, source: as ``hb_from_hv``.

    >>> book = Source("ASTM E140 table 1", "secondary")
    >>> hv_from_hb([ScaleRow(22, 248, 237, book), ScaleRow(20, 238, 226, book)], 226).value
    238.0
    """
    return _convert(rows, hb, "HB", "HV")


def _convert(rows: Sequence[ScaleRow], value: float, given: Scale, wanted: Scale) -> Outcome:
    if not (isfinite(value) and value > 0):
        raise ValueError(f"a hardness in {given} must be greater than zero, not {value}")
    both = [(_number(row, given), _number(row, wanted), row.source) for row in rows]
    points = sorted(
        ((start, end, source) for start, end, source in both if start is not None and end is not None),
        key=lambda point: point[0],
    )
    if not points:
        raise ValueError(f"the table has no row with both {given} and {wanted}")
    method, inputs = f"{given} to {wanted}", {str(given): value}
    for (low, low_end, low_source), (high, high_end, high_source) in pairwise(points):
        if low <= value <= high:
            converted = low_end + (high_end - low_end) * (value - low) / (high - low)
            used = {low_source if value < high else high_source, high_source if value > low else low_source}
            source = min(used, key=lambda entry: _WEAKEST_FIRST.index(entry.mark))
            return Outcome(method, converted, wanted, "ok", source, (_HOMOGENEOUS,), inputs)
    reason = f"{value:g} {given} is not in the table, which goes from {points[0][0]:g} to {points[-1][0]:g} {given}"
    return Outcome(method, None, wanted, "not tabulated", points[0][2], (reason,), inputs)


def _number(row: ScaleRow, scale: Scale) -> float | None:
    return {"HRC": row.hrc, "HV": row.hv, "HB": row.hb}[scale]
