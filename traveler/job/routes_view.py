"""The routes of joints as one JSON object: what ``routes --json`` prints and the text and the screen show."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.candidate import Candidate
from traveler.job.rough import hv_down, hv_up, percent_down, percent_up
from traveler.job.route_after import BAKES, Bake, ReliefChoice
from traveler.job.route_charts import (
    HOLDS_H,
    PreheatPoint,
    ReliefPoint,
    axis_number,
    preheat_points,
    relief_points,
)
from traveler.job.route_hardness import Hardness, hardest
from traveler.job.route_preheat import PreheatChoice
from traveler.job.routes import JointRoutes, Route
from traveler.job.sheet import Sheet
from traveler.library.model import Library, Units
from traveler.quantity.quantity import Quantity
from traveler.quantity.show import decimal_text, show, show_both

Json = dict[str, Any]


def routes_object(sheet: Sheet, found: Sequence[JointRoutes], library: Library) -> Json:
    """The job with each joint: limits, choices, routes, points of the charts. Temperatures in degC."""
    return {
        "job": sheet.number,
        "title": sheet.title,
        "units": sheet.units,
        "decides": sheet.decides,
        "joints": [_joint(joint, library, sheet.units) for joint in found],
    }


@dataclass(frozen=True, slots=True)
class _Labels:
    """The choices of a joint, each once in its order: preheat P1, P2 ..., for hydrogen H1 ..., stress relief S1 ..."""

    preheats: tuple[PreheatChoice, ...]
    bakes: tuple[str, ...]
    reliefs: tuple[ReliefChoice, ...]

    def of(self, route: Route) -> str:
        """ "P1 H2 S3"."""
        preheat, bake, relief = (
            self.preheats.index(route.preheat),
            self.bakes.index(route.bake.name),
            self.reliefs.index(route.relief),
        )
        return f"P{preheat + 1} H{bake + 1} S{relief + 1}"


def _joint(found: JointRoutes, library: Library, units: Units) -> Json:
    labels = _Labels(
        tuple(dict.fromkeys(route.preheat for route in found.routes)),
        tuple(name for name in BAKES if any(route.bake.name == name for route in found.routes)),
        tuple(dict.fromkeys(route.relief for route in found.routes)),
    )
    return {
        "joint": found.joint.id,
        "type": found.joint.type,
        "process": found.joint.process.number,
        "thickest": show_both(found.joint.thickest.thickness),
        "limits": _limits(found),
        "conflicts": list(found.conflicts),
        "notes": list(found.notes),
        "preheats": [_preheat(f"P{at}", choice) for at, choice in enumerate(labels.preheats, start=1)],
        "bakes": [_bake(f"H{at}", name, found, labels) for at, name in enumerate(labels.bakes, start=1)],
        "reliefs": [_relief(f"S{at}", choice) for at, choice in enumerate(labels.reliefs, start=1)],
        "routes": [_route(route, labels.of(route)) for route in found.routes],
        "charts": {
            "hardness_against_preheat": [
                _preheat_point(p, units) for p in preheat_points(found, library, units)
            ],
            "tempered_against_relief": [_relief_point(p, units) for p in relief_points(found, units)],
        },
    }


def _limits(found: JointRoutes) -> Json:
    minimum, maximum, limit = found.minimum, found.maximum, found.hardness_limit
    soak = found.soak
    return {
        "heat_input_kj_mm": float(decimal_text(joint_heat_input_kj_mm(found.joint), 3)),
        "preheat_min_c": _c(minimum.limit),
        "preheat_min": _words(minimum.limit),
        "preheat_min_by": minimum.governed_by,
        "preheat_max_c": _c(maximum.hard),
        "preheat_max": _words(maximum.hard),
        "preheat_max_by": maximum.hard_governed_by,
        "interpass_max_c": _c(maximum.interpass),
        "interpass_max": _words(maximum.interpass),
        "interpass_max_by": maximum.interpass_governed_by,
        "hardness": None if limit is None else limit.words(),
        "hardness_hv": None if limit is None else limit.hv,
        "arc_energy_kj_mm": [_kj(found.energy.low), _kj(found.energy.high)],
        "soak_c": None if soak is None else [_bound_c(soak.low), _bound_c(soak.high)],
        "soak_rows": [] if soak is None else [_soak_row(row) for row in soak.rows],
        "martensite": [
            {"material": m.material, "ms_c": round(m.ms_c), "m90_c": round(m.m90_c)} for m in found.martensite
        ],
    }


def _soak_row(row: Candidate) -> Json:
    """One bound of the soak range or one ceiling above it."""
    return {
        "bound": row.basis.bound,
        "method": row.basis.method,
        "member": row.basis.member,
        "mark": row.basis.source.mark,
        "value_c": _c(row.limit),
        "value": _words(row.limit),
    }


def _preheat(label: str, choice: PreheatChoice) -> Json:
    return {
        "label": label,
        **_preheat_and_interpass(choice),
        "hardness": [_hardness(hardness) for hardness in choice.hardness],
        "fails": list(choice.fails),
        "says": list(choice.says),
        "hours": _hours((choice.even_h + choice.hold_h[0], choice.even_h + choice.hold_h[1])),
    }


def _preheat_and_interpass(choice: PreheatChoice) -> Json:
    return {
        "preheat_c": _c(choice.preheat),
        "preheat": show_both(choice.preheat),
        "interpass_max_c": _c(choice.interpass_max),
        "interpass_max": _words(choice.interpass_max),
        "way": choice.way,
    }


def _bake(label: str, name: str, found: JointRoutes, labels: _Labels) -> Json:
    """A bake with what it leaves after each preheat that it is weighed for."""
    of: dict[str, Bake] = {}
    for route in found.routes:
        if route.bake.name == name:
            of.setdefault(labels.of(route).split()[0], route.bake)
    return {
        "label": label,
        "name": name,
        "after": [
            {
                "preheat": preheat,
                "temperature_c": None if bake.temperature is None else [_c(end) for end in bake.temperature],
                "temperature": _range(bake.temperature),
                "hours": _hours(bake.hours),
                "hydrogen_left_percent": _share(bake.hydrogen_left),
                "fails": list(bake.fails),
                "says": list(bake.says),
            }
            for preheat, bake in of.items()
        ],
    }


def _relief(label: str, choice: ReliefChoice) -> Json:
    return {
        "label": label,
        "name": choice.name,
        "profile": choice.profile,
        "soak_c": None if choice.soak is None else [_c(end) for end in choice.soak],
        "soak": _range(choice.soak),
        "hold_h": choice.hold_h,
        "hours": _hours(choice.hours),
        "fails": list(choice.fails),
        "says": list(choice.says),
    }


def _route(route: Route, label: str) -> Json:
    preheat, bake, relief = route.preheat, route.bake, route.relief
    return {
        "route": label,
        **_preheat_and_interpass(preheat),
        "bake": bake.name,
        "relief": relief.name,
        "as_welded_hv": _band(hardest(preheat.hardness)),
        "after_relief_hv": _band(hardest(route.after)),
        "after_relief": [_hardness(hardness) for hardness in route.after],
        "satisfies": route.satisfies,
        "within_scatter": route.within_scatter,
        "extrapolated": route.extrapolated,
        "fails": list(route.fails),
        "says": list(route.says),
        "hours": _hours(route.hours),
        "hottest_c": max(_ends_c(preheat.preheat, bake, relief)),
    }


def _ends_c(preheat: Quantity, bake: Bake, relief: ReliefChoice) -> list[float]:
    ends = (preheat, *(bake.temperature or ()), *(relief.soak or ()))
    return [round(float(end.canonical), 1) for end in ends]


def _hardness(hardness: Hardness) -> Json:
    return {
        "material": hardness.material,
        "hv": _band(hardness),
        "scatter_hv": None if hardness.high_hv is None else round(hardness.scatter_hv),
        "extrapolated": hardness.extrapolated,
        "reasons": list(hardness.reasons),
        "assumed": list(hardness.assumed),
    }


def _preheat_point(point: PreheatPoint, units: Units) -> Json:
    return {
        "preheat": show(point.preheat),
        "preheat_c": _c(point.preheat),
        "at": round(axis_number(point.preheat, units), 1),
        "t85_s": None if point.t85_s is None else [round(time, 1) for time in point.t85_s],
        "hardness": [_hardness(hardness) for hardness in point.hardness],
    }


def _relief_point(point: ReliefPoint, units: Units) -> Json:
    return {
        "soak": show(point.soak),
        "soak_c": _c(point.soak),
        "at": round(axis_number(point.soak, units), 1),
        "material": point.material,
        "hv": {
            str(hours): None if value is None else round(value)
            for hours, value in zip(HOLDS_H, point.hv, strict=True)
        },
        "extrapolated": point.extrapolated,
    }


def _band(hardness: Hardness | None) -> list[int] | None:
    """Rounded outward to 5 HV: no method is better than that."""
    if hardness is None or hardness.low_hv is None or hardness.high_hv is None:
        return None
    return [hv_down(hardness.low_hv), hv_up(hardness.high_hv)]


def _share(share: tuple[float, float] | None) -> list[int] | None:
    return None if share is None else [percent_down(share[0]), percent_up(share[1])]


def _hours(hours: tuple[float, float]) -> list[float]:
    return [round(end, 2) for end in hours]


def _c(quantity: Quantity | None) -> float | None:
    return None if quantity is None else round(float(quantity.canonical), 1)


def _bound_c(bound: Candidate | None) -> float | None:
    return None if bound is None else _c(bound.limit)


def _kj(bound: Candidate | None) -> float | None:
    return None if bound is None or bound.limit is None else round(float(bound.limit.canonical), 2)


def _words(quantity: Quantity | None) -> str | None:
    return None if quantity is None else show_both(quantity)


def _range(ends: tuple[Quantity, Quantity] | None) -> str | None:
    if ends is None:
        return None
    low, high = ends
    return show_both(low) if low.canonical == high.canonical else f"{show_both(low)} to {show_both(high)}"
