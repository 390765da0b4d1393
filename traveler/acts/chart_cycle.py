"""What the recorded cycle did to the metal of the job, worked out from the sheet of its present revision."""

from collections.abc import Sequence

from traveler.chart.couples import Couple
from traveler.chart.model import Chart
from traveler.errors import TravelerError
from traveler.job.chart_cycle import bake_cycle, relief_cycle
from traveler.job.requirement import StepPlan
from traveler.job.sheet import Sheet
from traveler.job.sheet_reader import read_sheet
from traveler.library.load import load_library


def cycle_words(
    chart: Chart, couples: Sequence[Couple], step: StepPlan | None = None, sheet_text: str = ""
) -> list[list[str]]:
    """Pairs of words and value for information; none for a logger left running during welding or a list of crayons."""
    if chart.method == "crayon" or (
        step is not None and step.kind not in ("stress relief", "hydrogen release")
    ):
        return []
    sheet = _sheet(sheet_text)
    if step is None or step.kind == "stress relief":
        return [list(pair) for pair in relief_cycle(chart, couples, sheet)]
    joints = [joint for joint in sheet.joints if joint.id in step.joints] if sheet else []
    if not joints:
        return []
    thickest_mm = max(float(joint.thickest.thickness.canonical) for joint in joints)
    return [list(pair) for pair in bake_cycle(chart, couples, thickest_mm)]


def _sheet(text: str) -> Sheet | None:
    """The sheet; None where a later library no longer reads it: then there is nothing to predict from."""
    if not text:
        return None
    try:
        return read_sheet(text, load_library())
    except TravelerError:
        return None
