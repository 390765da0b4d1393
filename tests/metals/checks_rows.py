"""Every row of ``fixtures/published`` run through the program: preheat, composition, arc, stress relief, inspection."""

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction
from typing import Any

from checks_model import Block, Row, block, checks, dicts, load, number, numbers, said, steel, words

from traveler.library.hardness import load_hardness_rows
from traveler.library.tolerances import load_tolerances
from traveler.library.visual import load_visual
from traveler.metals import carbon_equivalents as ce
from traveler.metals.arc import arc_energy_kj_mm, heat_input_kj_mm
from traveler.metals.en1011_method_a import combined_thickness_mm, no_preheat_up_to_mm
from traveler.metals.en1011_method_b import preheat_method_b
from traveler.metals.hardness_scales import hv_from_hrc
from traveler.metals.measuring import (
    measuring_distance_iso_13916_mm,
    preheat_reach_d11_mm,
    waiting_time_iso_13916_s,
)
from traveler.metals.outcome import Outcome
from traveler.metals.seferian import preheat_seferian
from traveler.metals.sew_088 import preheat_sew_088
from traveler.metals.soak import hold_minutes, rate_limit
from traveler.metals.tolerances import linear_tolerance
from traveler.metals.transformation import andrews_ac1, andrews_ac3
from traveler.metals.validity import Range
from traveler.metals.visual import Level, imperfection_limit
from traveler.metals.visual_d11 import undercut_permitted, undersize_permitted

INDEX: Mapping[str, Callable[[Mapping[str, float]], float]] = {
    "CE(IIW)": ce.ce_iiw,
    "CET": ce.cet,
    "Pcm": ce.pcm,
    "CEN": ce.cen,
}
BOXES: Mapping[str, tuple[Range, ...]] = {
    "CET": ce.CET_BOX,
    "CE(IIW)": ce.CE_IIW_BOX,
    "Pcm": ce.PCM_BOX,
    "CEN": ce.CEN_BOX,
}
METHOD_B_INPUTS = ("cet", "thickness_mm", "hydrogen_ml_100g", "heat_input_kj_mm")
MEASURING: Mapping[str, Callable[[float], float]] = {
    "ISO 13916 distance": measuring_distance_iso_13916_mm,
    "ISO 13916 wait": waiting_time_iso_13916_s,
    "AWS D1.1 reach": preheat_reach_d11_mm,
}
TABLE_C1 = {
    "ce_049_q1": (0.49, 1.0),
    "ce_049_q2": (0.49, 2.0),
    "ce_043_q1": (0.43, 1.0),
    "ce_043_q2": (0.43, 2.0),
}


def carbon_equivalents() -> Iterator[Block]:
    """The four indices and the factor of CEN, then the four of each steel."""
    topic = "carbon_equivalents"
    for check in checks(topic):
        method = check["method"]
        if method == "A(C)":
            rows = [
                numbers(f"C {c}", [result], [ce.accommodation_factor(float(c))])
                for c, result in check["table"]
            ]
            yield block(topic, check, "factor A(C) of CEN", "", rows)
            continue
        formula = INDEX.get(method, cen_with_unit_factor)
        composition = check["composition"]
        rows = [numbers(steel(composition), [check["result"]], [formula(composition)])]
        yield block(topic, check, method, "%", rows)
    origin = {
        "origin": "recomputed",
        "mark": "secondary",
        "source": "the four formulas over a common denominator",
    }
    steels = [
        numbers(
            found["name"],
            [found["results"][name] for name in INDEX],
            [formula(found["composition"]) for formula in INDEX.values()],
        )
        for found in load(topic)["steel"]
    ]
    yield block(topic, origin, " / ".join(INDEX), "%", steels)


def cen_with_unit_factor(composition: Mapping[str, float]) -> float:
    """The bracket of CEN without its factor, as a worksheet with f = 1 takes it."""
    carbon = composition["C"]
    return carbon + (ce.cen(composition) - carbon) / ce.accommodation_factor(carbon)


def validity() -> Iterator[Block]:
    """The ranges for which the carbon equivalents were made."""
    for check in checks("validity"):
        limits = {limit.name: limit for limit in BOXES[check["method"]]}
        rows = [
            words(symbol, _span(least, most), _span(limits[symbol].low, limits[symbol].high))
            for symbol, least, most in check["table"]
        ]
        yield block("validity", check, f"range of {check['method']}", "%", rows)


def _span(least: str | float | None, most: str | float | None) -> str:
    low = "" if least in ("", None) else f"{float(least or 0):g} "
    return f"{low}to {float(most or 0):g}"


def method_b() -> Iterator[Block]:
    """EN 1011-2 method B, and SEW 088 where a row has it."""
    for check in checks("method_b"):
        found = dicts(check)
        yield block(
            "method_b", check, check["method"], "°C", [_by(preheat_method_b, row, "result") for row in found]
        )
        if "sew_088" in check["columns"]:
            older = {**check, "source": "SEW 088 supplement 1, closed equation", "mark": "seen"}
            yield block(
                "method_b", older, "SEW 088", "°C", [_by(preheat_sew_088, row, "sew_088") for row in found]
            )


def _by(method: Callable[..., Outcome], row: Mapping[str, str], result: str) -> Row:
    inputs = said(row, *METHOD_B_INPUTS)
    return numbers(inputs, [row[result]], [method(*(float(row[name]) for name in METHOD_B_INPUTS))])


def preheat_gates() -> Iterator[Block]:
    """Seferian's rule and table C.1 of method A."""
    for check in checks("preheat_gates"):
        found = dicts(check)
        if check["method"] == "Seferian":
            rows = [
                numbers(
                    f"{steel(row['composition'])}; {said(row, 'thickness_mm')}",
                    [row["result"]],
                    [preheat_seferian(row["composition"], float(row["thickness_mm"]))],
                )
                for row in found
            ]
            yield block("preheat_gates", check, "Seferian", "°C", rows)
        elif check["method"] == "table C.1":
            rows = [
                numbers(
                    said(row, "hydrogen_ml_100g"),
                    [row[column] for column in TABLE_C1],
                    [no_preheat_up_to_mm(c, float(row["hydrogen_ml_100g"]), q) for c, q in TABLE_C1.values()],
                )
                for row in found
            ]
            columns = "CE 0.49 with 1 and 2 kJ/mm, CE 0.43 with 1 and 2 kJ/mm"
            yield block("preheat_gates", check, f"EN 1011-2 method A, table C.1 ({columns})", "mm", rows)
        else:
            yield block(
                "preheat_gates",
                check,
                "EN 1011-2 method A, no preheat needed",
                "",
                [_gate(row) for row in found],
            )


def _gate(row: Mapping[str, Any]) -> Row:
    combined_mm = combined_thickness_mm([float(member) for member in row["members_mm"]])
    greatest = no_preheat_up_to_mm(
        float(row["ce_iiw"]), float(row["hydrogen_ml_100g"]), float(row["heat_input_kj_mm"])
    )
    joint = said(row, "ce_iiw", "hydrogen_ml_100g", "heat_input_kj_mm")
    inputs = f"{joint}, members {' + '.join(row['members_mm'])} mm"
    return words(inputs, _yes(row["no_preheat"]), _yes(combined_mm <= number(greatest)))


def _yes(answer: bool) -> str:
    return "yes" if answer else "no"


def arc() -> Iterator[Block]:
    """Arc energy and heat input."""
    for check in checks("arc"):
        rows = []
        for row in dicts(check):
            energy = arc_energy_kj_mm(*(Fraction(row[name]) for name in ("volts", "amps", "travel_mm_s")))
            net = heat_input_kj_mm(energy, Fraction(row["efficiency"]))
            inputs = f"{row['process']}: {said(row, 'volts', 'amps', 'travel_mm_s', 'efficiency')}"
            rows.append(numbers(inputs, [row["arc_energy"], row["heat_input"]], [energy, net]))
        yield block("arc", check, "arc energy / heat input", "kJ/mm", rows)


def measuring() -> Iterator[Block]:
    """Where and when to read, and how far the heat must reach."""
    for check in checks("measuring"):
        method = MEASURING[check["method"]]
        rows = [numbers(f"thickness {t} mm", [result], [method(float(t))]) for t, result in check["table"]]
        yield block("measuring", check, check["method"], check["unit"], rows)


def hold_times() -> Iterator[Block]:
    """Least hold of a stress relief."""
    for check in checks("hold_times"):
        rule = {name: Fraction(text) for name, text in check["rule"].items()}
        rows = [
            numbers(f"{t} in", [result], [hold_minutes(Fraction(t), **rule)]) for t, result in check["table"]
        ]
        yield block("hold_times", check, "least hold", "min", rows)


def rate_limits() -> Iterator[Block]:
    """Greatest heating and cooling rate."""
    for check in checks("rate_limits"):
        cap, floor = Fraction(check["cap"]), Fraction(check["floor"])
        rows = [
            numbers(f"{t} in", [result], [rate_limit(Fraction(t), cap, floor)])
            for t, result in check["table"]
        ]
        yield block("rate_limits", check, "greatest rate", check["unit"].replace("deg", "°"), rows)


def lower_critical() -> Iterator[Block]:
    """Ac1."""
    yield from _critical("lower_critical", "Andrews Ac1", andrews_ac1)


def upper_critical() -> Iterator[Block]:
    """Ac3."""
    yield from _critical("upper_critical", "Andrews Ac3", andrews_ac3)


def _critical(topic: str, method: str, formula: Callable[[Mapping[str, float]], Outcome]) -> Iterator[Block]:
    for check in checks(topic):
        composition = check["composition"]
        yield block(
            topic,
            check,
            method,
            "°C",
            [numbers(steel(composition), [check["result"]], [formula(composition)])],
        )


def hardness_scales() -> Iterator[Block]:
    """Vickers by Rockwell C."""
    table = load_hardness_rows()
    for check in checks("hardness_scales"):
        rows = [numbers(f"{hrc} HRC", [hv], [hv_from_hrc(table, float(hrc))]) for hrc, hv in check["table"]]
        yield block("hardness_scales", check, "ASTM E140, rows that the file leaves out", "HV", rows)


def visual() -> Iterator[Block]:
    """ISO 5817, AWS D1.1 table 8.1, ISO 13920 and ISO 2768-1."""
    metric, tolerances = load_visual().d11["metric"], load_tolerances()
    for check in checks("visual"):
        method, table = check["method"], check["table"]
        if method == "ISO 5817":
            yield block(
                "visual", check, "ISO 5817, levels D / C / B", "mm", [_imperfection(*row) for row in table]
            )
        elif method == "tolerance":
            rows = [
                numbers(
                    f"{name}-{grade}, {size} mm",
                    [mm],
                    [linear_tolerance(tolerances[name], grade, Fraction(size))],
                )
                for name, grade, size, mm in table
            ]
            yield block("visual", check, "general tolerance", "mm", rows)
        elif method == "undersize":
            rows = [
                words(
                    f"leg {leg} mm, measured {measured} mm over {share} of the length",
                    _yes(passes),
                    _yes(undersize_permitted(metric, Fraction(leg), Fraction(measured), Fraction(share))),
                )
                for leg, measured, share, passes in table
            ]
            yield block("visual", check, "AWS D1.1 table 8.1(6), undersize passes", "", rows)
        else:
            rows = [
                words(
                    f"thickness {thickness} mm, depth {depth} mm over {length} mm",
                    _yes(passes),
                    _yes(undercut_permitted(metric, Fraction(thickness), Fraction(depth), Fraction(length))),
                )
                for thickness, depth, length, passes in table
            ]
            yield block("visual", check, "AWS D1.1 table 8.1(7), undercut passes", "", rows)


def _imperfection(name: str, thickness: str, size: str, d: str, c: str, b: str) -> Row:
    thickness_mm, size_mm = Fraction(thickness), Fraction(size) if size else None
    (row,) = (row for row in load_visual().iso5817 if row.name == name and row.covers(thickness_mm))
    levels: tuple[Level, ...] = ("D", "C", "B")
    inputs = f"{name}, t {thickness} mm" + (f", {row.size} {size} mm" if size else "")
    return numbers(
        inputs, [d, c, b], [imperfection_limit(row, level, thickness_mm, size_mm) for level in levels]
    )
