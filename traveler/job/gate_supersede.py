"""May an entry be corrected or taken back?"""

from collections.abc import Sequence

from traveler.job.gate_acts import SupersedeReading
from traveler.job.person import Person
from traveler.job.state import JobState


def against_superseding(act: SupersedeReading, state: JobState, person: Person | None) -> Sequence[str]:
    """Once a step is signed as performed, its entries are not the signers' own any more: another person corrects them.

    That is neither who made the entry nor who signed over it. A correction stands in the place of what it corrects: who
    signed over that does not correct it either. Where the sheet allows self-inspection it is not asked.
    """
    reading = next((entry for entry in state.readings if entry.number == act.reading), None)
    if reading is None:
        return [f"there is no reading {act.reading}"]
    signed = [
        signature
        for signature in state.performed_of(reading.key[0])
        if signature.moment.seq > reading.counts_from_seq
    ]
    if person is None or not signed or state.plan.self_inspection:
        return []
    step, other = reading.key[0], "another person must correct it"
    if any(performer.is_same_as(person) for signature in signed for performer in signature.performers):
        return [f"{person.name} signed step {step} as performed over reading {act.reading}; {other}"]
    over_the_entry = any(signature.moment.seq > reading.moment.seq for signature in signed)
    if over_the_entry and reading.by.is_same_as(person):
        return [f"{person.name} made the entry and step {step} is signed as performed since; {other}"]
    return []
