"""Heat input of a joint as the sheet describes it."""

from fractions import Fraction

from traveler.job.sheet import Joint
from traveler.metals.arc import heat_input_kj_mm


def joint_heat_input_kj_mm(joint: Joint) -> Fraction:
    """Heat input of a joint: its arc energy times the efficiency of its process, exact."""
    return heat_input_kj_mm(joint.arc_energy.canonical, joint.process.efficiency)
