"""A joint that is repaired: the crack found to its ends and proved out, foreign metal gone, repairs counted."""

from traveler.job.repairs import CRACK_ENDS, CRACK_PROOF, OTHER_METAL
from traveler.job.requirement import Requirement
from traveler.job.sheet import Joint
from traveler.job.steps.asked import asked
from traveler.job.steps.planning import Draft, Planning


def proved_out(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """At the fit, before any weld: what each repair among the joints asks for."""
    repaired = [joint for joint in joints if joint.repair is not None]
    requirements: list[Requirement] = []
    for joint in repaired:
        if joint.repair and joint.repair.of == "crack":
            requirements += [asked(CRACK_ENDS, joint=joint.id), asked(CRACK_PROOF, joint=joint.id)]
        requirements.append(asked(OTHER_METAL, joint=joint.id))
    cautions = planning.library.cautions
    notes = (cautions["other metal"], cautions["chlorinated solvent"]) if repaired else ()
    return Draft(tuple(requirements), notes=notes)


def counted(joint: Joint) -> Draft:
    """At the weld: which repair of the joint it is, and that the job's own limit is not passed."""
    repair = joint.repair
    if repair is None:
        return Draft(())
    this = repair.before + 1
    if repair.at_most is not None and this > repair.at_most:
        return Draft(
            (),
            (
                f"this would be repair {this} of {joint.id} and the job lets it have {repair.at_most}: "
                "the engineer decides between another way and a new part",
            ),
        )
    limit = f"; the job lets it have {repair.at_most}" if repair.at_most else ""
    return Draft((), notes=(f"Repair {this} of {joint.id} ({repair.of}){limit}.",))
