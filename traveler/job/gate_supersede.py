"""May an entry be corrected or taken back?"""

from collections.abc import Sequence

from traveler.job.gate_acts import SupersedeReading
from traveler.job.person import Person
from traveler.job.state import ChartRecord, JobState, Reading, Signature


def against_superseding(act: SupersedeReading, state: JobState, person: Person | None) -> Sequence[str]:
    """Once a step is signed as performed, its entries are not the signers' own any more: another person corrects them.

    That is neither who made the entry nor who signed over it. A correction stands in the place of what it corrects: who
    signed over that does not correct it either. Where the sheet allows self-inspection it is not asked.
    """
    reading = next((entry for entry in state.readings if entry.number == act.reading), None)
    if reading is None:
        return [f"there is no reading {act.reading}"]
    return _signed_over(state, person, reading.key[0], reading, f"reading {act.reading}")


def against_taking_back(number: int, state: JobState, person: Person | None) -> Sequence[str]:
    """The same of a chart that is to be read another way."""
    chart = next((entry for entry in state.charts if entry.number == number), None)
    if chart is None:
        return [f"there is no chart {number}"]
    return _signed_over(state, person, chart.step, chart, f"chart {number}")


def signatures_over(state: JobState, step: int, entry: Reading | ChartRecord) -> list[Signature]:
    """The signatures on the work that keep their signers, and who made the entry, from touching it.

    Where people have secrets, whoever does touch it then has to show that it is they. None where the sheet allows
    self-inspection.
    """
    if state.plan.self_inspection:
        return []
    since = _first_entered(state, entry)
    return [signature for signature in state.performed_of(step) if signature.moment.seq > since]


def _first_entered(state: JobState, entry: Reading | ChartRecord) -> int:
    """A correction stands in the place of what it corrects, which somebody signed over."""
    if isinstance(entry, Reading):
        return entry.counts_from_seq
    earlier = [chart for chart in state.charts if chart.superseded_by == entry.number]
    return min([entry.moment.seq, *(_first_entered(state, chart) for chart in earlier)])


def _signed_over(
    state: JobState, person: Person | None, step: int, entry: Reading | ChartRecord, called: str
) -> Sequence[str]:
    signed = signatures_over(state, step, entry)
    if person is None or not signed:
        return []
    other = "another person must correct it"
    if any(performer.is_same_as(person) for signature in signed for performer in signature.performers):
        return [f"{person.name} signed step {step} as performed over {called}; {other}"]
    over_the_entry = any(signature.moment.seq > entry.moment.seq for signature in signed)
    if over_the_entry and entry.by.is_same_as(person):
        return [f"{person.name} made the entry and step {step} is signed as performed since; {other}"]
    return []
