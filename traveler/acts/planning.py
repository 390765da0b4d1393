"""Plan a sheet: what takes neither a shop nor a clock, and so loads neither."""

from traveler.job.plan import plan_job
from traveler.job.requirement import Plan
from traveler.job.sheet_reader import decode_sheet, read_sheet
from traveler.library.load import load_library


def plan_sheet(raw: bytes) -> Plan:
    """The plan of a job sheet; stores nothing. Raises BadSheet with every fault, one sentence each."""
    library = load_library()
    return plan_job(read_sheet(decode_sheet(raw), library), library)
