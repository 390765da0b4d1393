"""Weigh the routes of the joints of a sheet or of a stored job; stores nothing."""

from typing import Any

from traveler.acts.change import no_such_job, stream_of
from traveler.errors import BadInput, TravelerError
from traveler.job.fold import ISSUED, REVISED
from traveler.job.routes import routes_of
from traveler.job.routes_view import routes_object
from traveler.job.sheet_reader import decode_sheet, read_sheet
from traveler.job.sheet_words import shown
from traveler.library.load import load_library
from traveler.library.routes import load_route_choices
from traveler.record.shop import Shop


def weigh_routes(raw: bytes, joint: str | None = None) -> dict[str, Any]:
    """The routes object of a sheet, of one joint or of all.

    Raises BadSheet with every fault of the sheet, BadInput for a joint that it does not have.
    """
    library, choices = load_library(), load_route_choices()
    sheet = read_sheet(decode_sheet(raw), library)
    known = [found.id for found in sheet.joints]
    if joint is not None and joint not in known:
        raise BadInput(f"the sheet has no joint {shown(joint)}; expected one of {', '.join(known)}")
    chosen = [found for found in sheet.joints if joint in (None, found.id)]
    return routes_object(sheet, [routes_of(sheet, found, library, choices) for found in chosen], library)


def weigh_job_routes(shop: Shop, number: str, joint: str | None = None) -> dict[str, Any]:
    """As ``weigh_routes``, from the sheet of the job's present revision, by the library of this program.

    Raises TravelerError for a job that the shop does not have.
    """
    return weigh_routes(current_sheet(shop, number).encode(), joint)


def current_sheet(shop: Shop, number: str) -> str:
    """The sheet that the job's present revision was issued from. Raises TravelerError where there is none."""
    events = shop.events(stream_of(number))
    if not events:
        raise TravelerError(no_such_job(shop, number))
    sheets = [event.data["act"].get("sheet") for event in events if event.data["kind"] in (ISSUED, REVISED)]
    if not sheets or not isinstance(sheets[-1], str):
        raise TravelerError(f"the record of job {number} holds no sheet to work from")
    return sheets[-1]


def all_have_a_route(routes: dict[str, Any]) -> bool:
    """Whether each joint has a route that satisfies every limit."""
    return all(any(route["satisfies"] for route in joint["routes"]) for joint in routes["joints"])
