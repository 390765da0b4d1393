"""Visual acceptance in numbers for a joint: the levels of ISO 5817 side by side, and AWS D1.1."""

from dataclasses import replace
from fractions import Fraction

from traveler.job.requirement import Basis
from traveler.job.sheet import Joint
from traveler.library.model import Library, Units
from traveler.library.visual import LEVELS, VisualCriteria
from traveler.metals.visual import Imperfection
from traveler.metals.visual_d11 import D11Visual, stepped
from traveler.quantity.show import rounded_down, show

MM_PER_INCH = Fraction("25.4")
D11 = "AWS D1.1 table 8.1, statically loaded"
D11_FROM_MM = 3
D11_SCOPE = "AWS D1.1 is for 3 mm (1/8 in) and thicker [memory]"
BUTT_ONLY = ("linear misalignment of plates", "incomplete root penetration")
OF_EVERY_JOINT = ("undercut",)
"""What grows with the thickness alone: other limits need a width, a throat or a leg, which the sheet does not give."""


def visual_rows(joint: Joint, library: Library, units: Units) -> tuple[Basis, ...]:
    """One row for each standard at the thinnest member, where the limits are the least; none without the criteria.

    The sheet names neither a quality level nor a standard, so nothing here governs.
    """
    if library.visual is None:
        return ()
    thinnest = min((member.thickness for member in joint.members), key=lambda t: t.canonical)
    return (
        _iso_row(joint, library.visual, thinnest.canonical, show(thinnest)),
        _d11_row(library.visual.d11[units], thinnest.canonical, show(thinnest)),
    )


def _iso_row(joint: Joint, visual: VisualCriteria, thinnest_mm: Fraction, shown: str) -> Basis:
    names = (*OF_EVERY_JOINT, *(BUTT_ONLY if joint.type == "butt" else ()))
    rows = [row for row in visual.iso5817 if row.name in names and row.covers(thinnest_mm)]
    said = tuple(_levels(row, thinnest_mm) for row in rows)
    source = rows[0].source if rows else visual.iso5817[0].source
    return Basis(
        method=f"{source.title} levels {' / '.join(LEVELS)}",
        bound=None,
        role="indicative",
        status="ok" if rows else "not tabulated",
        value=None,
        unit=None,
        source=source,
        reasons=("no crack in any level", *said),
        working=(("thinnest member", shown),),
    )


def _levels(row: Imperfection, thickness_mm: Fraction) -> str:
    """ "undercut up to 0.31 / 0.5 / 1 mm"."""
    limits = [row.limits[level] for level in LEVELS]
    numbers = " / ".join("none" if limit is None else _mm(limit.at(thickness_mm)) for limit in limits)
    short = ", only short ones" if row.short_only else ""
    mark = f" [{row.source.mark}]" if row.source.mark != "seen" else ""
    return f"{row.name} up to {numbers} mm{short}{mark}"


def _d11_row(table: D11Visual, thinnest_mm: Fraction, shown: str) -> Basis:
    if thinnest_mm < D11_FROM_MM:
        thin = Basis(
            D11, None, "indicative", "not applicable", None, None, table.undercut_source, (D11_SCOPE,)
        )
        return replace(thin, working=(("thinnest member", shown),))
    size = thinnest_mm / MM_PER_INCH if table.unit == "in" else thinnest_mm
    undercut = stepped(table.undercut, size)
    source = table.undercut_source
    return Basis(
        method=D11,
        bound=None,
        role="indicative",
        status="ok",
        value=None,
        unit=None,
        source=source,
        reasons=(
            "no crack, fusion complete, craters filled",
            f"undercut at most {undercut if table.unit == 'in' else _mm(undercut)} {table.unit}",
        ),
        working=(("thinnest member", shown),),
    )


def _mm(limit: Fraction) -> str:
    return rounded_down(limit, 2).rstrip("0").rstrip(".")
