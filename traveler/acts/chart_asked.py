"""How a person wants a chart read and judged, as typed, and the options that come of it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from traveler.acts.chart_file import names_typed, spares_typed
from traveler.acts.chart_uncertainty import uncertainty_typed
from traveler.chart.model import Chart, DecisionRule, Limits, Options, Question, SoakMode, Told
from traveler.chart.reading.mapping_file import KEYS, told_from_mapping
from traveler.chart.times.stamps import seconds_at
from traveler.errors import BadInput
from traveler.quantity.parse import echo, parse_quantity
from traveler.quantity.units import Kind

SHORTEST_WINDOW_S = 300
LONGEST_WINDOW_S = 3600
FREE = ("zone", "spares")
"""Questions that may be answered by more than the words they offer."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Texts as typed; None where the usual is wanted.

    ``told`` speaks of the file. ``window``, ``max_gap``: times. ``uncertainty``: a temperature
    difference, or a class of couple with its reader. ``loaded``,
    ``out``: when the part went in and came out (for a hydrogen release: when the cover came off). ``arcs``: run of weld
    to the time at which its arc was started.
    """

    told: Told = field(default_factory=Told)
    window: str | None = None
    soak: SoakMode = "longest"
    max_gap: str | None = None
    uncertainty: str | None = None
    rule: DecisionRule = "simple"
    loaded: str | None = None
    out: str | None = None
    arcs: Mapping[int, str] = field(default_factory=dict)


def answered(told: Told, question: Question, answer: str) -> Told:
    """What was said about the file, with the answer to one question. Raises BadInput where it is no answer to it.

    An option may be given as a person says it: "C" for degrees Celsius. Names of couples stand with commas between.
    """
    names = names_typed([answer]) if question.key == "couples" else (answer.strip(),)
    wanted = [_option(question, name) for name in names]
    said = {key: value for key in KEYS if (value := getattr(told, key)) not in (None, (), {})}
    said[question.key] = _value(told, question.key, wanted)
    return told_from_mapping(said)


def _option(question: Question, answer: str) -> str:
    options = {option.casefold(): option for option, _ in question.options}
    options |= {spoken(question, option).casefold(): option for option, _ in question.options}
    if answer.casefold() in options:
        return options[answer.casefold()]
    if not answer or (options and question.key not in FREE):
        words = [spoken(question, option) for option, _ in question.options]
        raise BadInput(
            f'"{echo(answer)}" is none of these; expected {" or ".join(words) or "something to be said"}'
        )
    return answer


def spoken(question: Question, option: str) -> str:
    """An option of a question as a person says it."""
    return option.removeprefix("deg") if question.key == "unit" else option


def _value(told: Told, key: str, answers: list[str]) -> object:
    if key == "spares":
        return {**told.spares, **spares_typed(names_typed(answers))}
    before = getattr(told, key)
    return (*before, *answers) if isinstance(before, tuple) else answers[0]


def judging_options(chart: Chart, asked: Asked, limits: Limits) -> Options:
    """The options on the chart's own clock. Raises BadInput for what cannot be read or lies outside the chart."""
    usual = Options()
    return Options(
        window_s=usual.window_s if asked.window is None else _window_s(asked.window),
        soak=asked.soak,
        max_gap_s=None if asked.max_gap is None else _positive_s(asked.max_gap, "longest gap"),
        uncertainty=None if asked.uncertainty is None else uncertainty_typed(asked.uncertainty, limits),
        rule=asked.rule,
        loaded_s=None if asked.loaded is None else seconds_at(chart, asked.loaded),
        out_s=None if asked.out is None else seconds_at(chart, asked.out),
    )


def _window_s(text: str) -> float:
    """Shorter than 5 min the scatter of a degree alone is a rate; longer than an hour hides one."""
    seconds = _positive_s(text, "window")
    if not SHORTEST_WINDOW_S <= seconds <= LONGEST_WINDOW_S:
        raise BadInput(f'the window "{echo(text)}" is out of range; expected 5 min to 60 min')
    return seconds


def _positive_s(text: str, what: str) -> float:
    quantity = parse_quantity(text, Kind.TIME)
    if quantity.number <= 0:
        raise BadInput(f'the {what} "{echo(text)}" is not above zero; expected a time such as 30 min')
    return float(quantity.canonical)
