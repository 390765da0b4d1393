"""Which steps a job has, in order: the usual route, or the sheet's own with what the metal calls for checked."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from traveler.job.sheet import Joint, Sheet, StepKind, Task
from traveler.job.steps.heat import needs_slow_cool
from traveler.job.steps.planning import Planning
from traveler.job.steps.receiving import RECEIVING

TITLES: dict[str, str] = {
    "cut": "Cut and mark the pieces",
    "fit": "Fit and tack",
    "preheat": "Preheat {joint}",
    "weld": "Weld {joint}",
    "hydrogen release": "Slow cool {joint}",
    "stress relief": "Stress relieve",
    "inspect": "Inspect",
    "assemble": "Assemble",
    "other": "Other work",
    "coating": "Coat",
}
COATING: Task = "coating"
HEATED = ("weld", "stress relief")


@dataclass(frozen=True, slots=True)
class Stop:
    """One step of the route before its requirements are worked out."""

    number: int
    kind: StepKind
    title: str
    joints: tuple[Joint, ...]
    task: Task | None = None


def lay_route(planning: Planning) -> tuple[Stop, ...]:
    """The sheet's own steps in order of their numbers, else the usual route numbered in tens."""
    if planning.sheet.steps:
        return tuple(_own(planning.sheet))
    usual = list(_usual(planning))
    return tuple(
        Stop(10 * place, kind, _title(task or kind, joints), joints, task)
        for place, (kind, joints, task) in enumerate(usual, start=1)
    )


def missing_steps(planning: Planning, route: tuple[Stop, ...]) -> tuple[str, ...]:
    """Steps that the metal calls for and the sheet's own route lacks, each as a conflict."""
    have = {(stop.kind, joint.id) for stop in route for joint in stop.joints}
    missing = []
    for joint in planning.sheet.joints:
        if planning.minima[joint.id].above_floor and ("preheat", joint.id) not in have:
            missing.append(f"{joint.id} needs a preheat step and the sheet has none for it")
        if ("weld", joint.id) not in have:
            missing.append(f"{joint.id} has no weld step on the sheet")
        if needs_slow_cool(joint) and ("hydrogen release", joint.id) not in have:
            missing.append(
                f"{joint.id} has hardenable metal and the sheet has no step for its slow cooling "
                '(kind "hydrogen release")'
            )
        if ("inspect", joint.id) not in have:
            missing.append(f"{joint.id} is never inspected on the sheet")
    if planning.relief.called and not any(stop.kind == "stress relief" for stop in route):
        missing.append(
            f"stress relief is called for ({planning.relief.why}) and the sheet has no step for it"
        )
    return (*missing, *_missing_besides(planning.sheet, route))


def relieved_before(route: Sequence[Stop], stop: Stop) -> frozenset[str]:
    """The joints of a step that a stress relief lies before, and no weld of theirs between that and the step."""
    return frozenset(joint.id for joint in stop.joints if _relieved(route[: route.index(stop)], joint.id))


def _relieved(earlier: Sequence[Stop], joint: str) -> bool:
    kinds = [stop.kind for stop in earlier if joint in {covered.id for covered in stop.joints}]
    return next((kind == "stress relief" for kind in reversed(kinds) if kind in HEATED), False)


def _missing_besides(sheet: Sheet, route: tuple[Stop, ...]) -> Iterator[str]:
    """Steps that what the sheet asks besides belongs to."""
    have = {(stop.kind, joint.id) for stop in route for joint in stop.joints}
    receiving = [check for check in sheet.checks if check in RECEIVING]
    if receiving and not any(stop.kind == "cut" for stop in route):
        yield f"the sheet asks for {', '.join(receiving)} at receiving and has no cut step to ask it at"
    for joint in sheet.joints:
        if joint.repair is not None and ("fit", joint.id) not in have:
            yield f"{joint.id} is a repair and the sheet has no fit step where it is shown to be ready for the weld"
    coated = [stop.number for stop in route if stop.task == COATING]
    if sheet.coating is not None and not coated:
        yield 'the sheet has a coating and no step for it (kind "other", task = "coating")'
    for stop in route:
        if stop.kind == "weld" and coated and stop.number > min(coated):
            yield (
                f"step {stop.number} welds what step {min(coated)} has coated: the weld burns the coating off with "
                "poisonous fume, and its bake is undone there; weld first, then coat"
            )


def _usual(planning: Planning) -> Iterator[tuple[StepKind, tuple[Joint, ...], Task | None]]:
    every = planning.sheet.joints
    yield "cut", every, None
    yield "fit", every, None
    for joint in every:
        yield "preheat", (joint,), None
        yield "weld", (joint,), None
        if needs_slow_cool(joint):
            yield "hydrogen release", (joint,), None
    if planning.relief.called:
        yield "stress relief", every, None
    yield "inspect", every, None
    if planning.sheet.coating is not None:
        yield "other", every, COATING
    yield "assemble", every, None


def _own(sheet: Sheet) -> Iterator[Stop]:
    joints = {joint.id: joint for joint in sheet.joints}
    for step in sorted(sheet.steps, key=lambda step: step.number):
        covered = (joints[step.joint],) if step.joint else sheet.joints
        yield Stop(
            step.number, step.kind, step.title or _title(step.task or step.kind, covered), covered, step.task
        )


def _title(kind: StepKind | Task, joints: tuple[Joint, ...]) -> str:
    return TITLES[kind].format(joint=", ".join(joint.id for joint in joints))
