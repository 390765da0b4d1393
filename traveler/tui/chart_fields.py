"""What the form that attaches a chart says, as what the act takes."""

from dataclasses import replace
from pathlib import Path
from typing import Any

from traveler.acts.chart_asked import Asked, answered
from traveler.acts.chart_file import arcs_typed, file_blocks, names_typed, spares_typed
from traveler.acts.charts import NewChart
from traveler.chart.model import Question, Told
from traveler.chart.reading.mapping_file import KEYS, read_mapping
from traveler.tui.entered import FieldFault, in_field, whole_number
from traveler.tui.whose import from_vendor


def new_chart(
    step: int, typed: dict[str, str], shop_path: Path, said: Told | None, pending: Question | None
) -> tuple[NewChart, Told]:
    """The chart to attach, and what was answered about its file so far. Raises FieldFault.

    ``said``: the answers before; they go before the mapping file, and what stands in the fields before both.
    """
    file = typed["file"].strip()
    if not file:
        raise FieldFault("file", "say which file: its path on this machine")
    blocks = in_field("file", lambda: file_blocks(file, shop_path))
    mapped = _mapped(_text(typed, "mapping"), shop_path)
    answers = said or Told()
    if pending is not None:
        told = in_field("answer", lambda: answered(_with(mapped, answers), pending, typed["answer"]))
        answers = _of(answers, {pending.key: getattr(told, pending.key)})
    asked = Asked(
        told=_with(_with(mapped, answers), _columns(typed)),
        uncertainty=_text(typed, "uncertainty"),
        loaded=_text(typed, "loaded"),
        out=_text(typed, "out"),
        arcs=in_field("arcs", lambda: arcs_typed(names_typed(_listed(typed, "arcs")))),
    )
    instead_of, because = _instead_of(typed)
    new = NewChart(step, Path(file).name, blocks, asked, instead_of, because, from_vendor=from_vendor(typed))
    return new, answers


def _mapped(mapping: str | None, shop_path: Path) -> Told:
    if mapping is None:
        return Told()
    expected = "expected a mapping file in TOML"
    # The first block is more than a mapping file may have.
    return in_field(
        "mapping", lambda: read_mapping(next(iter(file_blocks(mapping, shop_path, expected)()), b""))
    )


def _columns(typed: dict[str, str]) -> Told:
    return Told(
        couples=in_field("couples", lambda: names_typed(_listed(typed, "couples"))),
        furnace=in_field("furnace", lambda: names_typed(_listed(typed, "furnace"))),
        spares=in_field("spares", lambda: spares_typed(names_typed(_listed(typed, "spares")))),
    )


def _with(told: Told, further: Told) -> Told:
    """``told`` with what ``further`` says in its place; a method is said by a mapping file only."""
    said = {key: getattr(further, key) for key in KEYS if key != "method"}
    return _of(told, {key: value for key, value in said.items() if value not in (None, (), {})})


def _of(told: Told, values: dict[str, Any]) -> Told:
    return replace(told, **values)


def _instead_of(typed: dict[str, str]) -> tuple[int | None, str | None]:
    instead_of = whole_number("instead_of", typed.get("instead_of", ""))
    because = _text(typed, "because")
    if instead_of is not None and because is None:
        raise FieldFault("because", "a reason is needed: say in words why the chart was read wrongly")
    if because is not None and instead_of is None:
        raise FieldFault("instead_of", "say which chart was read wrongly, or leave out why")
    return instead_of, because


def _listed(typed: dict[str, str], key: str) -> list[str]:
    text = _text(typed, key)
    return [] if text is None else [text]


def _text(typed: dict[str, str], key: str) -> str | None:
    return typed.get(key, "").strip() or None
