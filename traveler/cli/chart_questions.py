"""What a chart leaves open: asked at a terminal; elsewhere said, with the option that settles it."""

import shlex
import sys
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from traveler.cli.chart_options import SAYS
from traveler.errors import BadInput, TravelerError

if TYPE_CHECKING:
    from traveler.acts.chart_asked import Asked
    from traveler.chart.model import Question, Told

Result = TypeVar("Result")
MOST_QUESTIONS = 12
LONGEST_OFFER = 200
"""Characters of the names that a sentence offers; a file may have hundreds of columns."""
FREE = {"couples": "their names with commas between", "zone": "its name", "spares": "SPARE=COUPLE"}
"""Questions that are not answered by one of a few words, and what is given behind their option."""


def until_clear(asked: "Asked", read: Callable[["Asked"], Result]) -> Result:
    """What ``read`` finds once nothing is left open. Raises BadInput where there is nobody to ask."""
    from traveler.chart.unclear import Unclear

    for _ in range(MOST_QUESTIONS):
        try:
            return read(asked)
        except Unclear as unclear:
            if not _somebody_is_there():
                raise BadInput(_unasked(unclear.question)) from unclear
            asked = replace(asked, told=_told_by_somebody(asked.told, unclear.question))
    raise TravelerError(
        f"after {MOST_QUESTIONS} answers the file still leaves something open; say it with --mapping"
    )


def _somebody_is_there() -> bool:
    return all(stream is not None and stream.isatty() for stream in (sys.stdin, sys.stderr))


def _unasked(question: "Question") -> str:
    """One sentence: what is open, and what to give."""
    from traveler.acts.chart_asked import spoken

    said = [_quoted(spoken(question, option)) for option, _ in question.options]
    if question.key in FREE:
        names = ", ".join(said)
        names = names if len(names) <= LONGEST_OFFER else f"{names[:LONGEST_OFFER]}..."
        offered = f" and {FREE[question.key]}" + (f" ({names})" if names else "")
    else:
        offered = f" {' or '.join(said)}" if said else ""
    return (
        f"{question.sentence.rstrip('.?')}; say it with {SAYS[question.key]}{offered}, or in a mapping file"
    )


def _told_by_somebody(told: "Told", question: "Question") -> "Told":
    """Ask on standard error, which keeps standard output for the answer, until one of the options is typed."""
    from traveler.acts.chart_asked import answered, spoken

    _say(f"{question.sentence}\n")
    for option, meaning in question.options:
        _say(f"  {spoken(question, option)}: {meaning}\n")
    while True:
        _say("answer: ")
        line = sys.stdin.readline()
        if not line:
            _say("\n")
            raise BadInput(_unasked(question))
        try:
            return answered(told, question, line)
        except BadInput as error:
            _say(f"{error}\n")


def _quoted(word: str) -> str:
    """As a shell takes it; a lone mark stands in quotes, or it would be one of the sentence."""
    return shlex.quote(word) if any(map(str.isalnum, word)) else f"'{word}'"


def _say(text: str) -> None:
    from traveler.report.words import visible

    sys.stderr.write("\n".join(map(visible, text.split("\n"))))
    sys.stderr.flush()
