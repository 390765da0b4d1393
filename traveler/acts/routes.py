"""Weigh the routes of a job sheet's joints; stores nothing."""

from typing import Any

from traveler.errors import BadInput
from traveler.job.routes import routes_of
from traveler.job.routes_view import routes_object
from traveler.job.sheet_reader import decode_sheet, read_sheet
from traveler.job.sheet_words import shown
from traveler.library.load import load_library
from traveler.library.routes import load_route_choices


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


def all_have_a_route(routes: dict[str, Any]) -> bool:
    """Whether each joint has a route that satisfies every limit."""
    return all(any(route["satisfies"] for route in joint["routes"]) for joint in routes["joints"])
