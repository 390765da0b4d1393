"""The weld: who, which filler lot, the temperature before each run, and the arc energy of each run."""

from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.heat_input_window import arc_energy_window
from traveler.job.quantities import ARC_ENERGY, INTERPASS
from traveler.job.requirement import Basis, Evidence, Requirement
from traveler.job.sheet import Joint
from traveler.job.steps.planning import CONTACT, Draft, Planning, text
from traveler.job.two_routes import above_m90_between_runs
from traveler.job.weld_cycle_rows import weld_cycle_rows
from traveler.metals.outcome import Source
from traveler.quantity.show import decimal_text, show_both

ENERGY_READ = "volts, amps and travel of the run; of a waveform power source its energy and the length"


def weld(planning: Planning, joints: tuple[Joint, ...]) -> Draft:
    """Interpass window before every run, minimum as the preheat; arc energy and heat input named apart."""
    (joint,) = joints
    minimum, maximum = planning.minima[joint.id], planning.maxima[joint.id]
    window = arc_energy_window(joint, minimum, maximum, planning.library, planning.units)
    lot = joint.filler.lot
    requirements = (
        text("welder", "who laid the runs", joint.id),
        text(
            "filler lot",
            f"lot of {joint.filler.filler.classification} as marked on the package"
            + (f"; the sheet says {lot}" if lot else ""),
            joint.id,
            accepts=(lot,) if lot else (),
        ),
        Requirement(
            quantity=INTERPASS,
            type="number",
            unit="degC",
            at_least=minimum.limit,
            at_most=maximum.interpass,
            governed_at_least=minimum.governed_by,
            governed_at_most=maximum.interpass_governed_by,
            undetermined=minimum.limit is None,
            joint=joint.id,
            why="before every run, the first too: never below the preheat, never above the maximum",
            evidence=Evidence(
                where="on the weld metal or right beside it, just before the arc",
                instruments=CONTACT,
                per_run=True,
            ),
            basis=(*minimum.ruling, *maximum.interpass_basis),
        ),
        Requirement(
            quantity=ARC_ENERGY,
            type="number",
            unit="kJ/mm",
            at_least=window.low.limit if window.low else None,
            at_most=window.high.limit if window.high else None,
            governed_at_least=window.low.basis.method if window.low else None,
            governed_at_most=window.high.basis.method if window.high else None,
            joint=joint.id,
            why="volts x amps / travel speed of each run, without efficiency; it records the run as laid",
            evidence=Evidence(
                where="volts, amps and travel of the run; of a waveform power source its energy and the length",
                per_run=True,
            ),
            basis=(
                *_energy_basis(joint),
                *(row.basis for row in (window.low, window.high) if row),
                *weld_cycle_rows(joint, minimum, maximum, planning.library, planning.units),
            ),
        ),
    )
    notes = (
        "Too hot between runs: wait and read again. Readings for a run may be repeated until the run is recorded; "
        "the last one before it counts.",
        "Interrupted: keep the joint at its minimum, or slow cool it under cover and preheat again before going on.",
        *above_m90_between_runs(joint, minimum.limit, maximum.interpass),
    )
    return Draft(requirements, (*minimum.conflicts, *maximum.conflicts, *window.conflicts), notes)


def _energy_basis(joint: Joint) -> tuple[Basis, ...]:
    energy = joint.arc_energy
    heat_input = joint_heat_input_kj_mm(joint)
    return (
        Basis(
            method="arc energy on the sheet",
            bound=None,
            role="indicative",
            status="ok",
            value=decimal_text(energy.canonical, 3),
            unit="kJ/mm",
            source=Source("job sheet", "seen"),
            working=(("U I / v", show_both(energy)),),
        ),
        Basis(
            method="heat input",
            bound=None,
            role="indicative",
            status="ok",
            value=decimal_text(heat_input, 3),
            unit="kJ/mm",
            source=joint.process.efficiency_source,
            working=(
                ("arc energy", f"{decimal_text(energy.canonical, 3)} kJ/mm"),
                (f"efficiency of process {joint.process.number}", f"{float(joint.process.efficiency):g}"),
            ),
        ),
    )
