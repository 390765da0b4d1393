"""Short sheets for the planner's tests."""

from traveler.job.plan import plan_job
from traveler.job.requirement import Plan, Requirement, StepPlan
from traveler.job.sheet_reader import read_sheet
from traveler.library.load import load_library

COMPOSITION_4130 = "{ C = 0.31, Si = 0.26, Mn = 0.52, Cr = 0.98, Mo = 0.20 }"
LEAN_STRUCTURAL = "{ C = 0.16, Si = 0.25, Mn = 0.80, Cr = 0.05, Mo = 0.01, Ni = 0.05, Cu = 0.10, V = 0.005 }"


def material(
    id: str,
    grade: str = "4130",
    condition: str = "annealed",
    composition: str | None = None,
    certificate: str = "3.1",
    extra: str = "",
) -> str:
    """One material table of a sheet."""
    analysis = f"composition = {composition}\n" if composition else ""
    return (
        f'[[material]]\nid = "{id}"\ngrade = "{grade}"\ncondition = "{condition}"\n'
        f'certificate = "{certificate}"\n{analysis}{extra}\n'
    )


def sheet(
    *members: tuple[str, str, str],
    materials: str,
    filler: str = "ER70S-2",
    process: str = "141",
    units: str = "inch",
    restraint: str = "medium",
    hydrogen: str | None = "H5",
    energy: str = "1.0 kJ/mm",
    job: str = "",
    joint: str = "",
) -> str:
    """A sheet with one joint; members are (material, form, thickness)."""
    listed = ", ".join(
        f'{{ material = "{m}", form = "{form}", thickness = "{thickness}" }}'
        for m, form, thickness in members
    )
    hydrogen_line = f'hydrogen = "{hydrogen}"\n' if hydrogen else ""
    return (
        f'[job]\nnumber = "T-1"\ntitle = "Test piece"\nunits = "{units}"\ndecides = "engineer"\n{job}\n'
        f"{materials}\n"
        f'[[filler]]\nid = "rod"\nclassification = "{filler}"\n{hydrogen_line}\n'
        f'[[joint]]\nid = "J1"\ntype = "butt"\nprocess = "{process}"\nfiller = "rod"\n'
        f'arc_energy = "{energy}"\nrestraint = "{restraint}"\n{joint}member = [ {listed} ]\n'
    )


def planned(text: str) -> Plan:
    """The plan of a sheet."""
    library = load_library()
    return plan_job(read_sheet(text, library), library)


def step(plan: Plan, kind: str) -> StepPlan:
    """The first step of a kind."""
    return next(step for step in plan.steps if step.kind == kind)


def requirement(plan: Plan, kind: str, quantity: str) -> Requirement:
    """A requirement of the first step of a kind."""
    return next(r for r in step(plan, kind).requirements if r.quantity == quantity)


def limit(plan: Plan, kind: str, quantity: str) -> tuple[str | None, str | None]:
    """Both bounds as "300 degF"."""
    found = requirement(plan, kind, quantity)
    low, high = found.at_least, found.at_most
    return (
        f"{low.text} {low.unit.symbol}" if low else None,
        f"{high.text} {high.unit.symbol}" if high else None,
    )


def same_grade(thickness: str, **options: str) -> str:
    """Two pieces of certified annealed 4130 of one thickness."""
    return sheet(
        ("a", "plate", thickness),
        ("a", "plate", thickness),
        materials=material("a", composition=COMPOSITION_4130),
        **options,
    )
