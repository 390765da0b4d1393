"""May this be done about a nonconformance? Its life from opening to closing, and who may take which step of it."""

from collections.abc import Sequence

from traveler.job.concession import OUTSIDE_WORK, WELDER_QUALIFICATION
from traveler.job.decided import CONCESSIONS, ENDINGS, REVERIFIED, Nonconformance
from traveler.job.four_eyes import lacks_role, own_work
from traveler.job.gate_acts import (
    DecideDisposition,
    OnNonconformance,
    OpenNonconformance,
    ProposeDisposition,
    TakeOutPieces,
)
from traveler.job.gate_pieces import against_leaving_held, against_pieces
from traveler.job.person import MAY_ACCEPT, MAY_CONCEDE, Person, Role
from traveler.job.state import JobState

MAY_DISPOSE: tuple[Role, ...] = ("inspector", "engineer", "owner", "customer")


def against_opening(act: OpenNonconformance, state: JobState) -> Sequence[str]:
    """Anybody may say that something does not comply; it must only be about something there is."""
    step = state.step(act.step)
    if step is None:
        return [f"there is no step {act.step}"]
    reasons = []
    known = {requirement.quantity for requirement in step.requirements}
    known |= {
        str(criterion["criterion"]) for chart in state.charts_of(step.number) for criterion in chart.criteria
    }
    if step.outside is not None or state.sendings_of(step.number):
        known.add(OUTSIDE_WORK)
    if act.quantity is not None and act.quantity not in {*known, WELDER_QUALIFICATION}:
        reasons.append(
            f'step {act.step} has no "{act.quantity}"; it has: {", ".join(sorted(known)) or "nothing"}'
        )
    if act.joint is not None and act.joint not in step.joints:
        reasons.append(f'step {act.step} has no joint "{act.joint}"')
    standing = {r.number for r in state.readings if r.key[0] == step.number and not r.superseded}
    strangers = [str(number) for number in act.readings if number not in standing]
    if strangers:
        reasons.append(f"step {act.step} has no standing reading {', '.join(strangers)}")
    return reasons


def against_proposal(act: ProposeDisposition, state: JobState) -> Sequence[str]:
    """Anybody may propose, until something is approved and being done; after a failed re-verification again.

    Nothing is done yet where a part is to be scrapped, returned or left as it is: that may still be proposed otherwise
    until it is closed.
    """
    entry = state.nonconformance(act.nonconformance)
    if entry is None:
        return [_no_such(act.nonconformance)]
    proposable = entry.status in ("open", "proposed", "refused", "failed")
    # What some pieces were given up for is done with its approval.
    undone = entry.status == "approved" and entry.disposition not in REVERIFIED and not entry.rejects_some
    if not (proposable or undone):
        return [_stands_at(entry, "nothing more can be proposed")]
    return [] if act.pieces is None else _against_rejecting(act.disposition, act.pieces, act.serials, state)


def _against_rejecting(disposition: str, pieces: int, serials: tuple[str, ...], state: JobState) -> list[str]:
    """Some pieces are given up by scrapping or returning them; the others go on."""
    if disposition not in ENDINGS:
        return [f"some pieces are scrapped or returned; {disposition} is about all of them"]
    return list(against_pieces(TakeOutPieces(pieces, serials), state))


def against_decision(act: DecideDisposition, state: JobState, person: Person | None) -> Sequence[str]:
    """What lets the part stand other than it was asked for is approved by another person than who proposed it."""
    entry = state.nonconformance(act.nonconformance)
    if entry is None:
        return [_no_such(act.nonconformance)]
    if entry.status != "proposed":
        return [_stands_at(entry, "no disposition waits for an answer")]
    proposal = entry.proposals[-1]
    if proposal.disposition != act.disposition:
        return [f"nonconformance {entry.number}: {proposal.disposition} was proposed, not {act.disposition}"]
    if person is None or not act.approve:
        return [] if person is None else _against_role(person, MAY_DISPOSE, "a disposition")
    rejecting = (
        []
        if proposal.pieces is None
        else _against_rejecting(act.disposition, proposal.pieces, proposal.serials, state)
    )
    if act.disposition not in CONCESSIONS and proposal.pieces is None:
        return _against_role(person, MAY_DISPOSE, "a disposition")
    reasons = _against_role(person, MAY_CONCEDE, act.disposition)
    if proposal.by.is_same_as(person):
        reasons.append(f"{person.name} proposed to {_verb(act.disposition)}; another person must approve it")
    return reasons + rejecting + _against_own_work(state, entry, person, "approve it")


def against_step_of_it(act: OnNonconformance, state: JobState, person: Person | None) -> Sequence[str]:
    """Reasons against re-verifying, closing or voiding."""
    entry = state.nonconformance(act.nonconformance)
    if entry is None:
        return [_no_such(act.nonconformance)]
    match act.kind:
        case "re-verify":
            reasons = _against_reverifying(state, entry, act.complies)
            roles, what = MAY_DISPOSE, "look at it again"
        case "close":
            reasons = [*_against_closing(entry), *_leaving_held(state, entry)]
            roles, what = MAY_ACCEPT, "close it"
        case "void":
            reasons = _against_voiding(entry)
            roles, what = MAY_ACCEPT, "void it"
    if person is None:
        return reasons
    return [
        *reasons,
        *_against_role(person, roles, f"to {what}"),
        *_against_own_work(state, entry, person, what),
    ]


def _against_reverifying(state: JobState, entry: Nonconformance, complies: bool) -> list[str]:
    """Rework that cannot be done is found not to comply without anybody signing that they did it."""
    approved = entry.approved
    if entry.status != "approved" or approved is None or approved.disposition not in REVERIFIED:
        return [_stands_at(entry, "there is nothing to look at again")]
    performed = state.performed_of(entry.step)
    done = performed and approved.decision and performed[-1].moment.seq > approved.decision.moment.seq
    if approved.disposition == "rework" and complies and not done:
        return [f"step {entry.step} is not yet signed as performed again after the rework was approved"]
    return []


def _against_closing(entry: Nonconformance) -> list[str]:
    if entry.status == "re-verified":
        return []
    if entry.status != "approved":
        return [_stands_at(entry, "it is not ready to be closed")]
    if entry.disposition in REVERIFIED:
        return [f"nonconformance {entry.number}: after {entry.disposition} the part is looked at again first"]
    return []


def _leaving_held(state: JobState, entry: Nonconformance) -> list[str]:
    """By scrapping or returning the whole part the job ends, and nobody closes its other nonconformances any more."""
    whole = entry.disposition in ENDINGS and not entry.rejects_some
    ends = whole and entry.quantity is None and entry.joint is None
    return list(against_leaving_held(state, entry.number)) if ends else []


def _against_voiding(entry: Nonconformance) -> list[str]:
    """What was approved once was no error: not after rework that failed, nor after another proposal, either."""
    if entry.status in ("open", "proposed", "refused") and entry.approved is None:
        return []
    return [_stands_at(entry, "it is not void")]


def _against_role(person: Person, roles: tuple[Role, ...], what: str) -> list[str]:
    lacks = lacks_role(person, roles, what)
    return [lacks] if lacks else []


def _against_own_work(state: JobState, entry: Nonconformance, person: Person, what: str) -> list[str]:
    step = state.step(entry.step)
    work = own_work(state, step, person) if step else ""
    return [f"{work}; another person must {what}"] if work else []


def _no_such(number: int) -> str:
    return f"there is no nonconformance {number}"


def _stands_at(entry: Nonconformance, so: str) -> str:
    of = f" ({entry.disposition})" if entry.status in ("approved", "re-verified", "failed") else ""
    return f"nonconformance {entry.number} is {entry.status}{of}: {so}"


def _verb(disposition: str) -> str:
    return {"use as is": "use it as is"}.get(disposition, f"{disposition} it")
