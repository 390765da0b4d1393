"""What a step is asked because the sheet says so, on top of what every job asks of a step of its kind."""

from collections.abc import Callable, Mapping

from traveler.job.sheet import Joint
from traveler.job.steps.asked import asked
from traveler.job.steps.finishing import finished
from traveler.job.steps.planning import Draft, Planning
from traveler.job.steps.procedure import beside_procedure, gas_and_purge
from traveler.job.steps.receiving import received
from traveler.job.steps.repair import counted, proved_out


def with_besides(planning: Planning, kind: str, joints: tuple[Joint, ...], draft: Draft) -> Draft:
    """The step with all that the sheet asks of it; without such keys exactly the step as it was."""
    add = _BY_KIND.get(kind)
    return draft if add is None else add(planning, joints, draft)


def _joined(first: Draft, second: Draft) -> Draft:
    return Draft(
        (*first.requirements, *second.requirements),
        (*first.conflicts, *second.conflicts),
        (*first.notes, *second.notes),
        (*first.chart_limits, *second.chart_limits),
    )


def _cut(planning: Planning, joints: tuple[Joint, ...], draft: Draft) -> Draft:
    return _joined(received(planning, joints), draft)


def _fit(planning: Planning, joints: tuple[Joint, ...], draft: Draft) -> Draft:
    return _joined(proved_out(planning, joints), draft)


def _preheat(planning: Planning, joints: tuple[Joint, ...], draft: Draft) -> Draft:
    return beside_procedure(planning, joints[0], draft)


def _weld(planning: Planning, joints: tuple[Joint, ...], draft: Draft) -> Draft:
    joint = joints[0]
    more = [*gas_and_purge(joint)]
    if "interruptions" in planning.sheet.checks:
        more.append(asked("interruptions", joint=joint.id))
    return _joined(_joined(beside_procedure(planning, joint, draft), Draft(tuple(more))), counted(joint))


def _inspect(planning: Planning, joints: tuple[Joint, ...], draft: Draft) -> Draft:
    return _joined(finished(planning, joints), draft)


_BY_KIND: Mapping[str, Callable[[Planning, tuple[Joint, ...], Draft], Draft]] = {
    "cut": _cut,
    "fit": _fit,
    "preheat": _preheat,
    "weld": _weld,
    "inspect": _inspect,
}
