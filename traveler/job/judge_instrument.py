"""What the instrument has to say about a reading: is it evidence at all, and how surely does it lie inside?"""

from fractions import Fraction
from math import floor

from traveler.job.decision_rule import GUARD_BANDS, margin_needed
from traveler.job.instrument import CRAYON, IN_CALIBRATION, INFRARED, RECORDER
from traveler.job.instrument_state import InstrumentState
from traveler.job.judge_crayon import crayon_verdict
from traveler.job.questions import question_on
from traveler.job.requirement import Requirement, StepPlan, Verdict
from traveler.job.state import JobState, Reading
from traveler.metals.decision import COVERAGE, conformance_probability
from traveler.quantity.parse import stored, unit
from traveler.quantity.quantity import Quantity, comparable
from traveler.quantity.show import show
from traveler.quantity.units import Kind

Said = tuple[Verdict | None, str]


def instrument_verdict(state: JobState, step: StepPlan, requirement: Requirement, reading: Reading) -> Said:
    """The verdict that follows from what took the reading, with the reason; None where nothing follows.

    ``not shown`` where the reading is no evidence: questioned, by an instrument that was out of calibration, of a type
    that the requirement does not admit, beyond its range. ``conditional`` where its uncertainty reaches beyond a limit.
    Whether the value itself lies outside is for the judge, who asks that first. A reading that keeps nothing of an
    instrument says nothing here.
    """
    questioned = question_on(state, reading.number)
    if questioned:
        return "not shown", f"not evaluable: {questioned}"
    if requirement.type != "number" or reading.unit is None:
        return None, ""
    fault = _not_evaluable(requirement, reading)
    if fault:
        return "not shown", f"not evaluable: {fault}"
    if reading.bound is not None:
        return crayon_verdict(state, step, requirement, reading)
    used = reading.instrument_state
    if used is None:
        return None, ""
    if used.uncertainty is None:
        return _by_no_margin(state.decision_rule, requirement, reading, used)
    return _by_margin(state.decision_rule, requirement, stored(reading.value, reading.unit), used)


def is_temperature(requirement: Requirement) -> bool:
    """Whether the requirement is about a temperature, not a difference or a rate."""
    return requirement.unit is not None and unit(requirement.unit).kind is Kind.TEMPERATURE


def _not_evaluable(requirement: Requirement, reading: Reading) -> str:
    """Why the reading is no evidence, by what is frozen with it of its instrument; empty where it may be."""
    used, admitted = reading.instrument_state, requirement.evidence.instruments
    if used is None:
        lacks = reading.names_instrument and admitted and reading.bound is None
        return _names_none(reading, " or ".join(admitted)) if lacks else ""
    if used.state != IN_CALIBRATION:
        return _lapsed(used)
    if reading.bound is not None:
        return "" if used.type == CRAYON else f"{_named(used)} does not melt or hold: it is a {used.type}"
    return _not_admitted(requirement, used) or _beyond_range(reading, used)


def _names_none(reading: Reading, admitted: str) -> str:
    """What a vendor reports is no better known: its instrument counts once it is registered with its calibration."""
    if reading.reported_by is None:
        return f"it names no registered instrument ({admitted})"
    return (
        f"it was reported by {reading.reported_by} and names no registered instrument ({admitted}): register the "
        "vendor's with the calibration that came with the papers, and name it"
    )


def _lapsed(used: InstrumentState) -> str:
    if used.why:
        return f"{_named(used)} was {used.state}: {used.why}"
    due = f" (due {used.due})" if used.state == "overdue" and used.due else ""
    return f"{_named(used)} was {used.state}{due}"


def _not_admitted(requirement: Requirement, used: InstrumentState) -> str:
    admitted = requirement.evidence.instruments
    if is_temperature(requirement) and used.type == INFRARED:
        return (
            f"{_named(used)} is an infrared thermometer, which reads bright metal far too low; "
            "a contact reading shows it"
        )
    if is_temperature(requirement) and used.type == CRAYON:
        return f"{_named(used)} is a temperature crayon, which only melts or holds"
    # A recorder is what thermocouples are read by.
    taken_as = "thermocouple" if used.type == RECORDER else used.type
    if admitted and taken_as not in admitted:
        return f"{_named(used)} is a {used.type}, and {' or '.join(admitted)} is asked for"
    return ""


def _beyond_range(reading: Reading, used: InstrumentState) -> str:
    value = stored(reading.value, reading.unit or "")
    low, high = used.range_from, used.range_to
    if low is not None and comparable(value, low) and value.canonical < low.canonical:
        return f"{show(value)} is below the range of {_named(used)}, from {show(low)}"
    if high is not None and comparable(value, high) and value.canonical > high.canonical:
        return f"{show(value)} is beyond the range of {_named(used)}, up to {show(high)}"
    return ""


def _by_no_margin(rule: str, requirement: Requirement, reading: Reading, used: InstrumentState) -> Said:
    """A guard band is made of the uncertainty: where nobody stated one, nothing tells how wide it is.

    What came out of a chart has the guard band of the chart's own judge.
    """
    limited = requirement.at_least is not None or requirement.at_most is not None
    if rule not in GUARD_BANDS or not limited or reading.chart is not None:
        return None, ""
    return (
        "not shown",
        f"not evaluable: nobody stated the uncertainty of {_named(used)}, which the {rule} takes",
    )


def _by_margin(rule: str, requirement: Requirement, value: Quantity, used: InstrumentState) -> Said:
    uncertainty = used.uncertainty
    low, high = requirement.at_least, requirement.at_most
    if uncertainty is None or uncertainty.canonical <= 0 or (low is None and high is None):
        return None, ""
    if not _measures_alike(value, uncertainty):
        if is_temperature(requirement):
            return (
                "not shown",
                f"not evaluable: the uncertainty of {_named(used)} is in {uncertainty.unit.label}",
            )
        return None, ""
    guard = margin_needed(rule) * uncertainty.canonical
    if rule in GUARD_BANDS and low and high and high.canonical - low.canonical < 2 * guard:
        return "not shown", (
            f"not evaluable: the guard band of {_named(used)} ({show(uncertainty)}) leaves nothing between "
            f"{show(low)} and {show(high)}"
        )
    margins = [value.canonical - low.canonical] if low else []
    margins += [high.canonical - value.canonical] if high else []
    if min(margins) >= guard:
        return None, ""
    within = "the guard band" if rule in GUARD_BANDS else "the uncertainty"
    chance = _percent(value, uncertainty, low, high)
    return "conditional", (
        f"{show(value)} is inside by less than {within} of {_named(used)} ({_band_words(rule, uncertainty)}); "
        f"it complies with a probability of about {chance} %"
    )


def _measures_alike(value: Quantity, uncertainty: Quantity) -> bool:
    if value.unit.kind is Kind.TEMPERATURE:
        return uncertainty.unit.kind is Kind.SPAN
    return comparable(value, uncertainty)


def _band_words(rule: str, uncertainty: Quantity) -> str:
    factor = margin_needed(rule)
    return show(uncertainty) if factor == 1 else f"{float(factor)} of {show(uncertainty)}"


def _percent(value: Quantity, uncertainty: Quantity, low: Quantity | None, high: Quantity | None) -> int:
    """Whole percent, rounded down; a float will do, since nothing is decided by it."""
    chance = conformance_probability(
        float(value.canonical),
        float(uncertainty.canonical) / COVERAGE,
        None if low is None else float(low.canonical),
        None if high is None else float(high.canonical),
    )
    # 50 % exactly at the limit must not become 49 by the last digit of a float.
    return floor(Fraction(round(chance * 100, 6)))


def _named(used: InstrumentState) -> str:
    return f"{used.instrument} {used.name}"
