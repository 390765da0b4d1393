"""The recorded charts of a step: all couples with the band, the failing places one by one, and the verdicts."""

import os
from collections.abc import Mapping
from typing import Any, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.events import Resize
from textual.widgets import Static

from traveler.report.chart_clock import clock_of
from traveler.report.chart_words import (
    EARLIER_LIMITS,
    facts,
    head_words,
    is_current,
    is_logged,
    place_words,
)
from traveler.report.in_ascii import in_ascii
from traveler.report.relief_chart_table import table_lines
from traveler.report.relief_chart_text import plot_lines
from traveler.report.words import count_words, visible
from traveler.tui import terminal
from traveler.tui.entered import Told
from traveler.tui.keys import CHART_KEYS, CHART_LIST_KEYS
from traveler.tui.layout import Fitted, Row, lead_width
from traveler.tui.screens.page import ListPage
from traveler.tui.screens.working import TextPage
from traveler.tui.session import Session
from traveler.tui.theme import marked, tone
from traveler.tui.widgets.rows import Rows

Json = Mapping[str, Any]

LEAST_ROWS = 8
LEAST_HEIGHT_FOR_A_HINT = 18
ROOM_BESIDE_THE_PLOT = 9
"""Lines of the terminal that the plot leaves to heading, axes, legend and keys."""
AROUND_A_FAULT = 0.5
"""Of a fault's own length, shown on either side of it; at least ten minutes."""
LEAST_AROUND_S = 600.0


class Charts(ListPage[None]):
    """The charts of a step, to look at one or to attach another."""

    PURPOSE = (
        "The recorded time-temperature charts of this step, each judged against the step's limits. A chart "
        "that a logger wrote is attached here."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(CHART_LIST_KEYS)

    def __init__(self, session: Session, number: str, step_number: int) -> None:
        super().__init__(session)
        self.number = number
        self.step_number = step_number
        self.charts: list[Json] = []
        self.ended = ""

    def compose_body(self) -> ComposeResult:
        """The list."""
        yield Rows()
        yield Static("", id="empty", markup=False)

    def reload(self) -> None:
        """Read the charts."""
        traveler = self.session.job(self.number)
        self.ended = next((f"the job is {word}" for word in ("closed", "cancelled") if traveler[word]), "")
        self.charts = charts_of(traveler, self.step_number)
        kept = kept_only(traveler, self.step_number)
        counted = count_words(len(self.charts), "chart")
        self.set_heading(
            f"{visible(self.number)}  step {self.step_number}  recorded charts",
            f"{counted}, {count_words(len(kept), 'file')} kept" if kept else counted,
        )
        width = lead_width([_lead(chart) for chart in self.charts], 14)
        self.rows.show(
            [
                _row(chart, _readings_outside(traveler, chart), width, plain=self.plain)
                for chart in self.charts
            ]
        )
        self.set_class(not self.charts, "-empty")
        lines = ["No chart is recorded here. n attaches the file that a logger wrote."]
        self.put_lines("empty", lines + [f"Kept and not read: {visible(name)}" for name in kept])

    def why_not(self, action: str) -> str:
        """Nothing is opened where nothing is listed, nothing attached to a job that has ended."""
        if action == "open":
            return "" if self.charts else "no chart is recorded here"
        return self.ended if action == "attach" else ""

    async def action_open(self) -> None:
        """Look at the chart under the cursor."""
        if self.rows.key is not None:
            await self.app.push_screen(
                ChartPage(self.session, self.number, self.step_number, int(self.rows.key))
            )

    def told(self, told: Told | None) -> None:
        """The chart that was recorded last is shown under the cursor."""
        super().told(told)
        if told is not None and told.recorded and self.charts:
            self.look_again()
            self.rows.go_to(str(self.charts[-1]["chart"]))

    async def action_attach(self) -> None:
        """Open the form that attaches a file."""
        from traveler.tui.screens.attach import AttachChart

        await self.app.push_screen(AttachChart(self.session, self.number, self.step_number), self.told)


def charts_of(traveler: Json, step_number: int) -> list[Json]:
    """The charts of a step in a traveler object."""
    found = [step for step in traveler["steps"] if step["number"] == step_number]
    return list(found[0]["charts"]) if found else []


def kept_only(traveler: Json, step_number: int) -> list[str]:
    """Names of the files that were attached to a step as charts and not read."""
    read = {_entry(chart) for chart in charts_of(traveler, step_number)}
    return [
        file["name"]
        for file in traveler["attachments"]
        if file["step"] == step_number and file["as"] == "chart" and _entry(file) not in read
    ]


def _entry(file: Json) -> tuple[str, str, str]:
    """What tells one entry of a file from another."""
    return file["name"], file["sha256"], file["recorded_at"]


def _readings_outside(traveler: Json, chart: Json) -> list[str]:
    """The readings out of a chart that do not comply."""
    return [
        _reading_line(requirement, reading)
        for step in traveler["steps"]
        for requirement in step["requirements"]
        for reading in requirement["readings"]
        if reading["chart"] == chart["chart"] and reading["verdict"] == "not met"
    ]


def _reading_line(requirement: Json, reading: Json) -> str:
    run = f", run {reading['run']}" if reading["run"] else ""
    shown = f"{visible(requirement['quantity'])} {visible(reading['shown'])}"
    return f"{shown} at {visible(reading['place'])}{run}: {reading['verdict']}"


def _lead(chart: Json) -> str:
    return marked("superseded" if chart["superseded"] else chart["verdict"])


def _row(chart: Json, outside: list[str], width: int, *, plain: bool) -> Row:
    verdict = "superseded" if chart["superseded"] else chart["verdict"]
    if is_logged(chart):
        failing, otherwise = outside, "every reading at an arc within its limits"
    else:
        failing = [
            f"{visible(c['criterion'])} {c['verdict']}" for c in chart["criteria"] if c["verdict"] != "met"
        ]
        otherwise = "every criterion met"
    lines = [f"chart {chart['chart']}  {visible(chart['name'])}", "; ".join(failing) or otherwise]
    if chart["superseded"]:
        lines.append(f"taken back: {visible(chart['reason'])}")
    elif not is_current(chart) and not is_logged(chart):
        lines.append(f"judged {EARLIER_LIMITS}: attach it again")
    return Row(str(chart["chart"]), marked(verdict), width, tuple(lines), tone(verdict, plain=plain))


def _words(chart: Json, width: int) -> list[str]:
    """The verdict, criterion by criterion, and how the file was read and judged."""
    told = [f"{label}: {'; '.join(texts)}" for label, texts in facts(chart)]
    return [head_words(chart), "", *table_lines(chart, width), "", *told]


class ChartPage(TextPage):
    """One chart: the plot, whole or around one failing place, above its verdicts and how the file was read."""

    PURPOSE = (
        "One recorded chart: the couples drawn, the limits it was held against, and the places where it "
        "fails. Its findings count as readings of the step."
    )

    BINDINGS: ClassVar[list[BindingType]] = list(CHART_KEYS)

    def __init__(self, session: Session, number: str, step_number: int, chart: int) -> None:
        super().__init__(session)
        self.number = number
        self.step_number = step_number
        self.chart = chart
        self.ascii = terminal.wants_ascii(os.environ)
        self.found: Json = {}
        self.place = 0
        self._shown: tuple[object, ...] = ()

    def compose_body(self) -> ComposeResult:
        """The plot, then the words."""
        with VerticalScroll(id="reading-matter", can_focus=False):
            yield Static("", id="plot", classes="part", markup=False)
            yield Static("", id="verdicts", classes="part", markup=False)

    def reload(self) -> None:
        """Read the chart; only whether it was taken back can have changed."""
        charts = charts_of(self.session.job(self.number), self.step_number)
        found = next((chart for chart in charts if chart["chart"] == self.chart), None)
        if found is None:
            self.say(f"chart {self.chart} is no longer with this step", alarm=True)
            return
        self.found = in_ascii(found) if self.ascii else found
        self._show()

    def on_resize(self, event: Resize) -> None:
        """The plot is as high as the window allows."""
        self._show()

    @property
    def faults(self) -> list[Json]:
        """The places where something fails or is not shown."""
        return list(self.found.get("drawing", {}).get("faults", ()))

    def why_not(self, action: str) -> str:
        """There may be no failing place to go to."""
        if action.startswith("fault") and not self.faults:
            return "no place fails on this chart"
        return ""

    def _show(self) -> None:
        rows = max(self.app.size.height - ROOM_BESIDE_THE_PLOT, LEAST_ROWS)
        now = (self.place, rows, self.found.get("superseded"))
        if not self.found or self._shown == now:
            return  # painting the same again costs kilobytes on a slow line
        self._shown = now
        self.set_heading(
            f"{visible(self.number)}  step {self.step_number}  chart {self.chart}  {visible(self.found['name'])}",
            _lead(self.found),
        )
        found, window = self.found, self._window()
        self.query_one("#plot", Static).update(
            Fitted(lambda width: plot_lines(found, self.ascii, width, rows, window), self._said)
        )
        self.query_one("#verdicts", Static).update(Fitted(lambda width: _words(found, width), self._said))
        self.say(self._where())

    def _where(self) -> str:
        """Which place is looked at; for the whole chart, what there is beyond what fits on the screen."""
        if self.place:
            words = place_words(self.faults[self.place - 1], clock_of(self.found["drawing"]["started_at"]))
            return f"place {self.place} of {len(self.faults)}: {words}"
        if self.app.size.height < LEAST_HEIGHT_FOR_A_HINT:
            return ""
        shows, further = self.key_of("chart.next"), self.key_of("list.page_down")
        places = (
            f"{count_words(len(self.faults), 'failing place')}: {shows} shows them. " if self.faults else ""
        )
        return f"{places}{further}: all of it in words"

    def _window(self) -> tuple[float, float] | None:
        """The stretch of time around the place that is looked at; None for the whole chart."""
        if not self.place:
            return None
        fault, end_s = self.faults[self.place - 1], self.found["drawing"]["length_s"]
        around = max((fault["to_s"] - fault["from_s"]) * AROUND_A_FAULT, LEAST_AROUND_S)
        return max(0.0, fault["from_s"] - around), min(end_s, fault["to_s"] + around)

    def _said(self, text: str) -> str:
        return str(in_ascii(text)) if self.ascii else text

    def action_fault(self, by: int) -> None:
        """To the next failing place or the one before; past the last the whole chart is shown again."""
        self.place = (self.place + by) % (len(self.faults) + 1)
        self._show()
        self.query_one("#reading-matter", VerticalScroll).scroll_home(animate=False)

    def action_whole(self) -> None:
        """The whole chart."""
        self.place = 0
        self._show()
