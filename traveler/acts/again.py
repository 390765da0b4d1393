"""Make a part again: the sheet of a job under a new number, and what a sheet asks otherwise than a job did."""

from typing import Any

from traveler import __version__
from traveler.acts.change import load_job
from traveler.acts.routes import current_sheet
from traveler.errors import BadInput, BadSheet, TravelerError
from traveler.job.again import Asked, NewSheet, Origin, sheet_again
from traveler.job.as_built import as_built
from traveler.job.compare import compare
from traveler.job.compare_view import comparison_object
from traveler.job.plan import plan_job
from traveler.job.requirement import Plan
from traveler.job.sheet_reader import decode_sheet, read_sheet
from traveler.job.sheet_rewrite import write_sheet
from traveler.job.sheet_toml import parse_toml
from traveler.job.state import JobState
from traveler.job.view import job_state_word
from traveler.library.load import load_library
from traveler.library.model import Library
from traveler.quantity.parse import echo
from traveler.record.shop import Shop


def make_again(shop: Shop, number: str, asked: Asked) -> NewSheet:
    """The sheet for the same part once more, made from the present revision of job ``number``; stores nothing.

    Raises TravelerError for a job that the shop lacks or a new number that it has, BadInput for an id that cannot be
    meant, BadSheet for a new number that cannot be one.
    """
    state = load_job(shop, number)
    if shop.has_job(asked.number):
        raise TravelerError(f'job "{asked.number}" is in this shop already; give the new job another number')
    new = sheet_again(current_sheet(shop, number), _origin(state), asked, as_built(state))
    read_sheet(new.text, load_library())
    return new


def compare_with_job(shop: Shop, number: str, raw: bytes) -> dict[str, Any]:
    """What the sheet asks otherwise than job ``number`` did in its present revision, and why; stores nothing.

    Raises TravelerError for a job that the shop lacks or whose sheet the rules of today cannot plan, BadSheet for
    faults of the sheet.
    """
    state, library = load_job(shop, number), load_library()
    text = decode_sheet(raw)
    sheet = read_sheet(text, library)
    old = current_sheet(shop, number)
    try:
        read_sheet(old, library)
    except BadSheet as error:
        told = f"the sheet of job {number} cannot be planned by this program any more: {error.faults[0]}"
        raise TravelerError(told) from error
    found = compare(state.plan, parse_toml(old), parse_toml(text), lambda tables: _plan(tables, library))
    issued = state.revisions[-1].program
    return {
        "job": number,
        "revision": state.revision,
        "head": state.head,
        "sheet": sheet.number,
        "program": {"was": issued, "now": __version__},
        **comparison_object(found, _rules(number, issued)),
    }


def compare_jobs(shop: Shop, number: str, other: str) -> dict[str, Any]:
    """What job ``other`` asks otherwise in its present revision than job ``number`` did, and why; stores nothing.

    As ``compare_with_job``; BadInput for one job beside itself.
    """
    if number == other:
        raise BadInput(f'job "{echo(number)}" was named twice; expected another job beside it')
    return compare_with_job(shop, number, current_sheet(shop, other).encode("utf-8"))


def _origin(state: JobState) -> Origin:
    return Origin(state.plan.number, state.revision, job_state_word(state), state.head)


def _plan(tables: dict[str, Any], library: Library) -> Plan:
    return plan_job(read_sheet(write_sheet(tables), library), library)


def _rules(number: str, issued: str) -> str:
    return (
        f"the rules of planning have changed since job {number} was issued (by program version {issued}; "
        f"this is {__version__})"
    )
