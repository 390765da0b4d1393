"""Which steps a job has, in order: the usual route, or the sheet's own with what the metal calls for checked."""

from collections.abc import Iterator
from dataclasses import dataclass

from traveler.job.sheet import Joint, Sheet, StepKind
from traveler.job.steps.heat import needs_slow_cool
from traveler.job.steps.planning import Planning

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
}


@dataclass(frozen=True, slots=True)
class Stop:
    """One step of the route before its requirements are worked out."""

    number: int
    kind: StepKind
    title: str
    joints: tuple[Joint, ...]


def lay_route(planning: Planning) -> tuple[Stop, ...]:
    """The sheet's own steps in order of their numbers, else the usual route numbered in tens."""
    if planning.sheet.steps:
        return tuple(_own(planning.sheet))
    usual = list(_usual(planning))
    return tuple(
        Stop(10 * place, kind, _title(kind, joints), joints)
        for place, (kind, joints) in enumerate(usual, start=1)
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
    return tuple(missing)


def _usual(planning: Planning) -> Iterator[tuple[StepKind, tuple[Joint, ...]]]:
    every = planning.sheet.joints
    yield "cut", every
    yield "fit", every
    for joint in every:
        yield "preheat", (joint,)
        yield "weld", (joint,)
        if needs_slow_cool(joint):
            yield "hydrogen release", (joint,)
    if planning.relief.called:
        yield "stress relief", every
    yield "inspect", every
    yield "assemble", every


def _own(sheet: Sheet) -> Iterator[Stop]:
    joints = {joint.id: joint for joint in sheet.joints}
    for step in sorted(sheet.steps, key=lambda step: step.number):
        covered = (joints[step.joint],) if step.joint else sheet.joints
        yield Stop(step.number, step.kind, step.title or _title(step.kind, covered), covered)


def _title(kind: StepKind, joints: tuple[Joint, ...]) -> str:
    return TITLES[kind].format(joint=", ".join(joint.id for joint in joints))
