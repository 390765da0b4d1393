"""The figures as people and programs read them."""

from collections.abc import Sequence
from typing import Any

from measured import Measured, Note, Spread, Unit

HEADS = ("what", "measured", "its floor", "floor", "result", "in processor time", "target", "")
_SCALES: dict[Unit, tuple[float, str]] = {
    "s": (1000, "ms"),
    "MiB": (1, "MiB"),
    "of a core": (100, "% of a core"),
}


def row_of(measured: Measured) -> tuple[str, ...]:
    """The line of one figure."""
    return (
        measured.what,
        _amount(measured.thing, measured.unit),
        measured.floor_is,
        _amount(measured.floor, measured.unit),
        _result(measured, measured.result),
        "" if measured.busy is None else _result(measured, measured.busy),
        _target(measured),
        "reached" if measured.reached else "**short of it**",
    )


def markdown(figures: Sequence[Measured]) -> str:
    """The table, and what else was seen as a list below it."""
    rows = [HEADS, tuple("---" for _ in HEADS), *map(row_of, figures)]
    table = [f"| {' | '.join(row)} |" for row in rows]
    return "\n".join(
        [*table, "", *(f"- {figure.what}: {beside}" for figure in figures if (beside := _beside(figure)))]
    )


def plain(figure: Measured) -> str:
    """One figure on a line or two, as soon as it is there."""
    what, thing, floor_is, floor, result, busy, target, reached = row_of(figure)
    lines = [f"{what}: {thing}; {floor_is}: {floor}; {result}, target {target}: {reached.strip('*')}"]
    if busy:
        lines.append(f"    in processor time {busy}")
    if beside := _beside(figure):
        lines.append(f"    {beside}")
    return "\n".join(lines)


def as_json(figures: Sequence[Measured], around: dict[str, Any]) -> dict[str, Any]:
    """All of it, with what the run was made on."""
    return {**around, "figures": [figure.as_json() for figure in figures]}


def _beside(figure: Measured) -> str:
    said = [f"{condition}: {'yes' if holds else '**no**'}" for condition, holds in figure.also.items()]
    return "; ".join([*said, *(f"{name} {_note(value)}" for name, value in figure.notes.items())])


def _note(value: Note) -> str:
    return f"{value:,g}" if isinstance(value, float) else f"{value}"


def _amount(spread: Spread, unit: Unit) -> str:
    scale, name = _SCALES[unit]
    if unit == "s" and spread.median >= 10:
        scale, name = 1, "s"
    return f"{_figures(spread, scale)} {name}"


def _result(measured: Measured, result: Spread) -> str:
    if measured.relation == "times":
        return f"x {_figures(result, 1)}"
    sign = "+ " if measured.relation == "beyond" else ""
    return sign + _amount(result, measured.unit)


def _target(measured: Measured) -> str:
    if measured.relation == "times":
        return f"x {measured.target:g}"
    scale, name = _SCALES[measured.unit]
    return f"{'+ ' if measured.relation == 'beyond' else ''}{measured.target * scale:g} {name}"


def _figures(spread: Spread, scale: float) -> str:
    """The median, and the quartiles where they are not the same."""
    median, low, high = (_three(value * scale) for value in (spread.median, spread.low, spread.high))
    return median if low == high else f"{median} ({low} to {high})"


def _three(value: float) -> str:
    """To three figures, thousands in full."""
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}"
