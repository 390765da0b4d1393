"""Visual acceptance of AWS D1.1 table 8.1, as numbers that a measured size is held against.

The code prints inches and millimetres beside each other, and neither is converted from the other. So the
numbers come as one table for each, and every size handed to it is in the table's own unit.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from traveler.metals.outcome import Outcome, Source

Unit = Literal["in", "mm"]
Load = Literal["static", "cyclic"]


@dataclass(frozen=True, slots=True)
class Step:
    """From this size on, this limit; both in the unit of the table."""

    size_from: Fraction
    limit: Fraction


@dataclass(frozen=True, slots=True)
class D11Visual:
    """Table 8.1 in one unit, each part with its source.

    ``undersize``: how much smaller a fillet may be, by its specified leg, over at most ``undersize_share`` of
    the weld's length. ``undercut`` by thickness. Below ``undercut_thick_from`` an undercut up to
    ``undercut_wide`` passes where it adds up to no more than ``undercut_wide_length`` in any
    ``undercut_window``. ``undercut_transverse``: primary members under cyclic load, weld transverse to
    tension. ``pore_from``: diameter from which pores count; their sum in any ``pore_short`` and any
    ``pore_long`` of weld. ``cyclic_pore``, ``cyclic_pore_spacing``: greatest pore of a fillet under cyclic load,
    and the length that may hold one. ``convexity`` of a fillet: pairs of the width of its face up to which a
    limit stands (None: no end), and the limit.
    """

    unit: Unit
    undersize: tuple[Step, ...]
    undersize_share: Fraction
    undercut: tuple[Step, ...]
    undercut_wide: Fraction
    undercut_wide_length: Fraction
    undercut_window: Fraction
    undercut_thick_from: Fraction
    undercut_transverse: Fraction
    pore_from: Fraction
    pore_short: tuple[Fraction, Fraction]
    pore_long: tuple[Fraction, Fraction]
    cyclic_pore: Fraction
    cyclic_pore_spacing: Fraction
    convexity: tuple[tuple[Fraction | None, Fraction], ...]
    undersize_source: Source
    undercut_source: Source
    porosity_source: Source
    convexity_source: Source


def stepped(steps: tuple[Step, ...], size: Fraction) -> Fraction:
    """The limit of the last step that begins at or below ``size``: between two listed sizes the smaller's.

    Raises ValueError for a size that is not greater than zero, or below the first step.

    >>> fillet = (Step(Fraction(0), Fraction(2)), Step(Fraction(6), Fraction("2.5")), Step(Fraction(8), Fraction(3)))
    >>> [stepped(fillet, Fraction(leg)) for leg in (5, 6, 7, 8)]
    [Fraction(2, 1), Fraction(5, 2), Fraction(5, 2), Fraction(3, 1)]
    """
    if size <= 0:
        raise ValueError(f"a size must be greater than zero, not {size}")
    reached = [step.limit for step in steps if step.size_from <= size]
    if not reached:
        raise ValueError(f"no step begins at or below {size}")
    return reached[-1]


def undersize_limit(table: D11Visual, leg: Fraction) -> Outcome:
    """How much smaller than specified a fillet leg may be, over a tenth of its length [unit of the table].

    Inputs: ``leg``, the specified size in the table's unit. Between two listed sizes the smaller one's limit
    stands, since the code lists no other (own reading).
    Validity: none of it within two flange widths of the ends of a girder's web-to-flange weld.
    Raises ValueError for a leg that is not above zero. Source: AWS D1.1 table 8.1(6) [seen].

    >>> from traveler.library.visual import load_visual
    >>> metric = load_visual().d11["metric"]
    >>> [undersize_limit(metric, Fraction(leg)).value for leg in (5, 6, 7, 8)]
    [2.0, 2.5, 2.5, 3.0]
    """
    value = stepped(table.undersize, leg)
    share = f"over at most {float(100 * table.undersize_share):g} % of the length of the weld"
    return _limit("undersize of a fillet", value, table, table.undersize_source, {"leg": leg}, (share,))


def undersize_permitted(table: D11Visual, leg: Fraction, measured: Fraction, share: Fraction) -> bool:
    """Whether a fillet measured at ``measured`` over that share of its length passes.

    Inputs: ``leg`` and ``measured`` in the table's unit; ``share`` [1] of the weld's length that is smaller
    than specified. Validity, errors, source: as ``undersize_limit``.

    >>> from traveler.library.visual import load_visual
    >>> metric = load_visual().d11["metric"]
    >>> [undersize_permitted(metric, Fraction(6), Fraction(size), Fraction("0.1")) for size in ("3.5", "3.4")]
    [True, False]
    """
    if measured >= leg:
        return True
    return leg - measured <= stepped(table.undersize, leg) and share <= table.undersize_share


def undercut_limit(
    table: D11Visual, thickness: Fraction, load: Load = "static", transverse_to_tension: bool = False
) -> Outcome:
    """Greatest depth of undercut over any length [unit of the table].

    Inputs: ``thickness`` of the member in the table's unit; ``load``; ``transverse_to_tension`` for a primary
    member under cyclic load whose weld lies across the tension.
    Raises ValueError for a thickness that is not above zero. Source: AWS D1.1 table 8.1(7) [seen].

    >>> from traveler.library.visual import load_visual
    >>> metric = load_visual().d11["metric"]
    >>> [undercut_limit(metric, Fraction(thickness)).value for thickness in (10, 25)]
    [1.0, 2.0]
    """
    value = _undercut(table, thickness, load, transverse_to_tension)
    return _limit("undercut", value, table, table.undercut_source, {"thickness": thickness}, ())


def undercut_permitted(
    table: D11Visual,
    thickness: Fraction,
    depth: Fraction,
    length_in_window: Fraction,
    load: Load = "static",
    transverse_to_tension: bool = False,
) -> bool:
    """Whether an undercut passes.

    Inputs: ``depth`` and ``length_in_window``, the accumulated length deeper than the plain limit in the worst
    12 in (300 mm), in the table's unit; the rest, errors and source as ``undercut_limit``. The deeper
    undercut over a short length is for static load and thin members alone.

    >>> from traveler.library.visual import load_visual
    >>> metric = load_visual().d11["metric"]
    >>> [undercut_permitted(metric, Fraction(10), Fraction("1.5"), Fraction(length)) for length in (40, 60)]
    [True, False]
    """
    if depth <= _undercut(table, thickness, load, transverse_to_tension):
        return True
    if load == "cyclic" or thickness >= table.undercut_thick_from:
        return False
    return depth <= table.undercut_wide and length_in_window <= table.undercut_wide_length


def porosity_permitted(
    table: D11Visual,
    pores: tuple[tuple[Fraction, Fraction], ...],
    load: Load = "static",
    tension_butt: bool = False,
) -> bool:
    """Whether visible piping porosity of a fillet passes, or of a groove weld under static load.

    Static: the diameters add up to no more than the limits for a short and for a long piece of weld. Cyclic, for
    fillets: one pore of limited diameter to each spacing.

    Inputs: ``pores``, pairs of place along the weld and diameter, in the table's unit; ``tension_butt`` for
    a complete-penetration butt weld transverse to tension, which may show none.
    Validity: stiffeners and other exceptions of the cyclic rows are not in here.
    Raises ValueError for a diameter that is not above zero.
    Source: AWS D1.1 table 8.1(8) [partly seen, partly memory].

    >>> from traveler.library.visual import load_visual
    >>> metric = load_visual().d11["metric"]
    >>> pores = ((Fraction(0), Fraction(6)), (Fraction(20), Fraction(6)))
    >>> porosity_permitted(metric, pores[:1]), porosity_permitted(metric, pores)
    (True, False)
    """
    if any(diameter <= 0 for _, diameter in pores):
        raise ValueError("a pore has a diameter greater than zero")
    if tension_butt:
        return not pores
    if load == "cyclic":
        places = sorted(place for place, _ in pores)
        apart = all(after - before >= table.cyclic_pore_spacing for before, after in pairwise(places))
        return apart and all(diameter <= table.cyclic_pore for _, diameter in pores)
    counted = [(place, diameter) for place, diameter in pores if diameter >= table.pore_from]
    return all(_sums_stay_below(counted, *window) for window in (table.pore_short, table.pore_long))


def convexity_limit(table: D11Visual, face_width: Fraction) -> Outcome:
    """Greatest convexity of a fillet [unit of the table] by the width of its face or bead.

    Raises ValueError for a width that is not above zero. Source: AWS D1.1 figure 7.4 and its table [memory].

    >>> from traveler.library.visual import load_visual
    >>> metric = load_visual().d11["metric"]
    >>> [convexity_limit(metric, Fraction(width)).value for width in (8, 9, 26)]
    [2.0, 3.0, 5.0]
    """
    if face_width <= 0:
        raise ValueError(f"face_width must be greater than zero, not {face_width}")
    value = next(limit for up_to, limit in table.convexity if up_to is None or face_width <= up_to)
    return _limit(
        "convexity of a fillet", value, table, table.convexity_source, {"face_width": face_width}, ()
    )


def _undercut(table: D11Visual, thickness: Fraction, load: Load, transverse: bool) -> Fraction:
    if load == "cyclic":
        return table.undercut_transverse if transverse else table.undercut[0].limit
    return stepped(table.undercut, thickness)


def _sums_stay_below(pores: list[tuple[Fraction, Fraction]], length: Fraction, most: Fraction) -> bool:
    """Whether the diameters within any piece of weld of that length add up to no more than ``most``."""
    return all(
        sum(diameter for place, diameter in pores if start <= place <= start + length) <= most
        for start, _ in pores
    )


def _limit(
    what: str,
    value: Fraction,
    table: D11Visual,
    source: Source,
    inputs: dict[str, Fraction],
    reasons: tuple[str, ...],
) -> Outcome:
    return Outcome(
        method=f"AWS D1.1 table 8.1, {what}",
        value=float(value),
        unit=table.unit,
        status="ok",
        source=source,
        reasons=reasons,
        inputs={f"{name}_{table.unit}": float(size) for name, size in inputs.items()},
    )
