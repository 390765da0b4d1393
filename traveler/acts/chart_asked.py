"""How a person wants a chart read and judged, as typed, and the options that come of it."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

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
T = TypeVar("T")


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


class OptionFault(BadInput):
    """What was typed for one option of ``Asked`` cannot be used; ``option`` is its field there."""

    def __init__(self, option: str, words: str) -> None:
        super().__init__(words)
        self.option = option


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
    """The options on the chart's own clock. Raises OptionFault for what cannot be read or lies outside the chart."""
    window_s = _read("window", asked.window, _window_s)
    options = Options(
        window_s=Options().window_s if window_s is None else window_s,
        soak=asked.soak,
        max_gap_s=_read("max_gap", asked.max_gap, _positive_s),
        uncertainty=_read("uncertainty", asked.uncertainty, lambda text: uncertainty_typed(text, limits)),
        rule=asked.rule,
        loaded_s=_read("loaded", asked.loaded, lambda text: seconds_at(chart, text)),
        out_s=_read("out", asked.out, lambda text: seconds_at(chart, text)),
    )
    if options.loaded_s is not None and options.out_s is not None and options.out_s <= options.loaded_s:
        loaded, out = chart.stamp(options.loaded_s), chart.stamp(options.out_s)
        raise OptionFault("out", f"out: the part came out at {out}, not after it went in at {loaded}")
    return options


def arc_times(chart: Chart, arcs: Mapping[int, str]) -> dict[int, float]:
    """Run of weld to the seconds on the chart at which its arc was started, in order of the runs.

    Raises OptionFault for a time that cannot be read or lies outside the chart.
    """
    return {
        run: _in_option("arcs", text, lambda text: seconds_at(chart, text))
        for run, text in sorted(arcs.items())
    }


def _read(option: str, text: str | None, reader: Callable[[str], T]) -> T | None:
    return None if text is None else _in_option(option, text, reader)


def _in_option(option: str, text: str, reader: Callable[[str], T]) -> T:
    try:
        return reader(text)
    except BadInput as error:
        raise OptionFault(option, f"{option.replace('_', '-')}: {error}") from error


def _window_s(text: str) -> float:
    """Shorter than 5 min the scatter of a degree alone is a rate; longer than an hour hides one."""
    seconds = _positive_s(text)
    if not SHORTEST_WINDOW_S <= seconds <= LONGEST_WINDOW_S:
        raise BadInput(f'"{echo(text)}" is out of range; expected 5 min to 60 min')
    return seconds


def _positive_s(text: str) -> float:
    quantity = parse_quantity(text, Kind.TIME)
    if quantity.number <= 0:
        raise BadInput(f'"{echo(text)}" is not above zero; expected a time such as 30 min')
    return float(quantity.canonical)
