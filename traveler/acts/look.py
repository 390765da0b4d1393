"""Look at jobs and hand them out: the traveler object, the exports."""

from datetime import datetime
from typing import Any, Literal, get_args

from traveler.acts.change import load_job, no_such_job, state_of, stream_of
from traveler.acts.clock import Clock
from traveler.acts.kept_files import carried_files
from traveler.acts.register import register_of, shop_now
from traveler.errors import TravelerError
from traveler.job.opened import Opened
from traveler.job.state import JobState
from traveler.job.view import opened_traveler, traveler_object
from traveler.record.shop import Shop
from traveler.report.json_export import export_json
from traveler.report.markdown import traveler_markdown
from traveler.report.readings_csv import readings_csv
from traveler.report.text import traveler_text

Format = Literal["pdf", "json", "text", "csv", "markdown"]
Paper = Literal["a4", "letter"]


def look(shop: Shop, clock: Clock, number: str) -> dict[str, Any]:
    """The traveler object of a job as it stands now."""
    return traveler_object(load_job(shop, number), shop_now(shop, clock))


def opened(shop: Shop, clock: Clock, number: str) -> Opened:
    """The same to look things up in, each made when it is asked for: what the screens read."""
    return opened_traveler(load_job(shop, number), shop_now(shop, clock))


def exported_object(state: JobState) -> dict[str, Any]:
    """The traveler object at the time of the job's last event: the same state gives the same object."""
    if state.last_moment is None:
        raise TravelerError("a job without events cannot be exported")
    return traveler_object(state, datetime.fromisoformat(state.last_moment.recorded_at))


def export(shop: Shop, number: str, form: Format, paper: Paper | None = None) -> bytes:
    """The completed traveler as bytes; a job that is not closed is marked DRAFT. Writes no event.

    ``paper`` for the PDF; by default the shop's setting, else US Letter where the job is typed in inches, else A4.
    """
    events = shop.events(stream_of(number))
    if not events:
        raise TravelerError(no_such_job(shop, number))
    state = state_of(events)
    traveler = exported_object(state)
    bodies = [event.body for event in events]
    if form in ("json", "pdf"):
        record = export_json(traveler, bodies, [event.hash.hex() for event in events], state.head)
    if form == "json":
        return record
    if form == "text":
        return traveler_text(traveler).encode()
    if form == "csv":
        return readings_csv(traveler)
    if form == "markdown":
        return traveler_markdown(traveler)
    # typst is heavy to load and needed only for the PDF.
    from traveler.acts.parts_look import parts_of_job
    from traveler.report.pdf import export_pdf

    files, life = carried_files(shop, bodies, traveler), parts_of_job(shop, state.plan.number)
    paper = paper or usual_paper(shop, state.plan.units)
    del events, bodies, state  # of a large job as much memory as its sheets take
    return export_pdf(traveler, paper, record, files, life)


def usual_paper(shop: Shop, units: str) -> Paper:
    """The paper of the shop's setting, else US Letter for a job in inches, else A4."""
    return _paper_set(shop) or ("letter" if units == "inch" else "a4")


def _paper_set(shop: Shop) -> Paper | None:
    setting = register_of(shop).settings.get("paper")
    return next((paper for paper in get_args(Paper) if paper == setting), None)
