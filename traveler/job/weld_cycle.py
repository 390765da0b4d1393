"""How fast a weld run cools, and how hard the metal beside it may get: what is expected, never a limit."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from traveler.job.analysis import Analysis
from traveler.job.arc import joint_heat_input_kj_mm
from traveler.job.heat_input_window import FORMS
from traveler.job.interpass import Maximum
from traveler.job.preheat import Minimum, floor_of
from traveler.job.sheet import Joint, Material
from traveler.library.model import Library, Units
from traveler.metals.composition import Composition
from traveler.metals.cooling_time import COOLING_SCATTER_PERCENT, cooling_time_range
from traveler.metals.haz_band import Cooling, haz_band
from traveler.metals.martensite import martensite_temperature
from traveler.metals.martensite_start import van_bohemen_ms
from traveler.metals.maynier import COARSE_GRAIN_PARAMETER_C, maynier_structure
from traveler.metals.outcome import Outcome, Status

NEEDED = ("C", "Si", "Mn", "Cr", "Mo", "Ni", "Cu", "V")
WEAKEST_FIRST: Sequence[Status] = ("not tabulated", "not applicable", "extrapolated", "ok")


@dataclass(frozen=True, slots=True)
class Start:
    """A temperature at which a run may start [degC], and what it is in words."""

    temperature_c: float
    words: str

    def text(self) -> str:
        """ "149 °C, the preheat minimum"."""
        return f"{self.temperature_c:.0f} °C, {self.words}"


@dataclass(frozen=True, slots=True)
class Prediction:
    """Beside one run on one metal: cooling time [s] and hardness [HV] from end to end, None where nothing is said.

    The cooling times have the scatter of their formula on both sides; ``HardnessBand.scatter_hv`` is not in the band.
    ``martensite`` [1] after the shortest and after the longest cooling; ``cross_checks``: the other formulas at both.
    """

    shortest_s: float | None
    longest_s: float | None
    low_hv: float | None
    high_hv: float | None
    status: Status
    reasons: tuple[str, ...]
    martensite: tuple[float, float] | None = None
    cross_checks: tuple[tuple[Outcome, Outcome], ...] = ()


def starts(joint: Joint, minimum: Minimum, maximum: Maximum, library: Library, units: Units) -> list[Start]:
    """The coldest start of a run and, where there is a window, the hottest."""
    cold = Start(float(minimum.limit.canonical), "the preheat minimum") if minimum.limit else None
    if cold is None:
        floor = floor_of(joint, library, units).limit
        assert floor is not None
        cold = Start(float(floor.canonical), "the floor, since no preheat minimum is determined")
    if maximum.interpass is None or float(maximum.interpass.canonical) <= cold.temperature_c:
        return [cold]
    return [cold, Start(float(maximum.interpass.canonical), "the interpass maximum")]


def predict(
    composition: Composition,
    heat_input_kj_mm: float,
    thickest_mm: float,
    own_mm: float,
    start_c: float,
    form: str,
) -> Prediction:
    """Cooling time and hardness beside one run.

    Inputs: ``composition`` [mass %]; ``heat_input_kj_mm`` [kJ/mm] with the efficiency; ``thickest_mm`` of the joint
    and ``own_mm`` of the member [mm]: it cannot cool faster than in a joint as thick as the thickest throughout, nor
    slower than by its own thickness alone; ``start_c`` [degC]; ``form`` of weld, a key of ``SHAPE_FACTORS``.
    Validity: that of ``cooling_time_range`` and ``haz_band``. From Ms up the metal is held above martensite: no
    hardness; from M90 up ``extrapolated``, since part of the austenite outlasts the next run.
    """
    times = cooling_times_s(heat_input_kj_mm, thickest_mm, own_mm, start_c, form)
    if times is None:
        reason = f"no cooling time down to 500 °C for a run that starts at {start_c:.0f} °C"
        return Prediction(None, None, None, None, "not applicable", (reason,))
    held, between = _held(composition, start_c)
    fast, slow = (haz_band(composition, time, held) for time in times)
    if slow.low_hv is None or fast.high_hv is None or slow.high_hv is None or fast.low_hv is None:
        return Prediction(*times, None, None, "not applicable", _first_reasons((*between, *fast.reasons)))
    status = weakest((fast.status, slow.status, "extrapolated" if between else "ok"))
    structures = [maynier_structure(composition, time, COARSE_GRAIN_PARAMETER_C).martensite for time in times]
    return Prediction(
        shortest_s=times[0],
        longest_s=times[1],
        low_hv=min(slow.low_hv, fast.low_hv),
        high_hv=max(slow.high_hv, fast.high_hv),
        status=status,
        reasons=_first_reasons((*between, *fast.reasons, *slow.reasons)),
        martensite=(structures[0], structures[1]),
        cross_checks=tuple(zip(fast.cross_checks, slow.cross_checks, strict=True)),
    )


def cooling_times_s(
    heat_input_kj_mm: float, thickest_mm: float, own_mm: float, start_c: float, form: str
) -> tuple[float, float] | None:
    """Shortest and longest t8/5 [s], with the scatter of the formula on both sides; None where it has no answer.

    Inputs, validity: those of ``predict``.
    """
    shortest, _ = cooling_time_range(heat_input_kj_mm, thickest_mm, start_c, form)
    _, longest = cooling_time_range(heat_input_kj_mm, own_mm, start_c, form)
    if shortest.value is None or longest.value is None:
        return None
    scatter = COOLING_SCATTER_PERCENT / 100
    return shortest.value * (1 - scatter), longest.value * (1 + scatter)


def _held(composition: Composition, start_c: float) -> tuple[Cooling, tuple[str, ...]]:
    """Whether metal that starts so hot cools through, and what to say where martensite is not nearly complete."""
    martensite, ninety = _martensite_c(tuple(composition.items()))
    if start_c >= martensite:
        return "isothermal", (f"{start_c:.0f} °C is above Ms, about {martensite:.0f} °C",)
    if round(start_c) > round(ninety):
        return "continuous", (
            f"at {start_c:.0f} °C, above M90 of about {ninety:.0f} °C, some austenite outlasts the next run",
        )
    return "continuous", ()


@lru_cache(maxsize=256)  # a job has few metals and many runs
def _martensite_c(contents: tuple[tuple[str, float], ...]) -> tuple[float, float]:
    """Ms and M90 [degC] of a metal."""
    composition = dict(contents)
    martensite, ninety = van_bohemen_ms(composition).value, martensite_temperature(composition).value
    assert martensite is not None
    assert ninety is not None
    return martensite, ninety


def _first_reasons(reasons: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(reasons))


def predictions(
    joint: Joint, material: Material, analysis: Analysis, begin: Iterable[Start]
) -> list[Prediction] | str:
    """One prediction for each start, on the harder side of what is known; or why there is none."""
    unknown = analysis.missing_for(NEEDED)
    if unknown or "C" not in analysis.composition:
        return f"{', '.join(unknown or ('C',))} unknown: a certificate tells"
    return [predict_for(joint, material, analysis.composition, start) for start in begin]


def predict_for(joint: Joint, material: Material, composition: Composition, start: Start) -> Prediction:
    """``predict`` with the numbers of a joint."""
    return _predicted(
        tuple(composition.items()),
        float(joint_heat_input_kj_mm(joint)),
        float(joint.thickest.thickness.canonical),
        thinnest_of(joint, material),
        start.temperature_c,
        form_of(joint),
    )


@lru_cache(maxsize=256)  # many joints of a job are alike in all that the prediction follows from
def _predicted(
    contents: tuple[tuple[str, float], ...],
    heat_input_kj_mm: float,
    thickest_mm: float,
    own_mm: float,
    start_c: float,
    form: str,
) -> Prediction:
    return predict(dict(contents), heat_input_kj_mm, thickest_mm, own_mm, start_c, form)


def form_of(joint: Joint) -> str:
    """The form of weld by which the shape factors of a joint go."""
    return FORMS.get(joint.type, joint.type)


def thinnest_of(joint: Joint, material: Material | None = None) -> float:
    """Thickness of the thinnest member, of one material or of all [mm]."""
    return min(
        float(m.thickness.canonical)
        for m in joint.members
        if material is None or m.material.id == material.id
    )


def weakest(statuses: Iterable[Status]) -> Status:
    """The status that promises least."""
    return min(statuses, key=WEAKEST_FIRST.index)
