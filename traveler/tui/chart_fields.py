"""What the form that attaches a chart says, as what the act takes."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from traveler.acts.chart_asked import Asked, answered
from traveler.acts.chart_file import arcs_typed, file_blocks, names_typed, spares_typed
from traveler.acts.charts import NewChart
from traveler.chart.model import Question, Told
from traveler.chart.reading.mapping_file import read_mapping
from traveler.errors import BadInput
from traveler.tui.session import FieldFault, whole_number

T = TypeVar("T")


def new_chart(
    step: int, typed: dict[str, str], shop_path: Path, said: Told | None, pending: Question | None
) -> tuple[NewChart, Told]:
    """The chart to attach, and what is said of its file so far, answers included. Raises FieldFault."""
    file = typed["file"].strip()
    if not file:
        raise FieldFault("file", "say which file: its path on this machine")
    blocks = _in_field("file", lambda: file_blocks(file, shop_path))
    told = said or Told()
    if mapping := typed["mapping"].strip():
        told = _in_field("mapping", lambda: read_mapping(b"".join(file_blocks(mapping, shop_path)())))
    if pending is not None:
        told = _in_field("answer", lambda: answered(told, pending, typed["answer"]))
    named = replace(
        told,
        couples=_in_field("couples", lambda: names_typed(_listed(typed["couples"]))) or told.couples,
        furnace=_in_field("furnace", lambda: names_typed(_listed(typed["furnace"]))) or told.furnace,
        spares=_in_field("spares", lambda: spares_typed(names_typed(_listed(typed["spares"]))))
        or told.spares,
    )
    asked = Asked(
        told=named,
        uncertainty=_text(typed, "uncertainty"),
        loaded=_text(typed, "loaded"),
        out=_text(typed, "out"),
        arcs=_in_field("arcs", lambda: arcs_typed(names_typed(_listed(typed.get("arcs", ""))))),
    )
    instead_of = whole_number("instead_of", typed.get("instead_of", ""))
    because = _text(typed, "because")
    if instead_of is not None and because is None:
        raise FieldFault("because", "a reason is needed: say in words why the chart was read wrongly")
    return NewChart(step, Path(file).name, blocks, asked, instead_of, because), told


def _listed(text: str) -> list[str]:
    return [text] if text.strip() else []


def _text(typed: dict[str, str], key: str) -> str | None:
    return typed.get(key, "").strip() or None


def _in_field(field: str, act: Callable[[], T]) -> T:
    try:
        return act()
    except BadInput as error:
        raise FieldFault(field, str(error)) from error
