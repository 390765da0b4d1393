"""Every row of ``fixtures/published`` run through the program: cooling, hardness, martensite, tempering, hydrogen."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from math import log10
from typing import Any

from checks_model import Block, Number, Row, block, checks, dicts, number, numbers, said
from e140_rows import hrc_of_brinell, hrc_of_vickers

from traveler.library.hardness import load_hardness_rows
from traveler.metals.bainite import bainite_time_range
from traveler.metals.cooling_time import (
    cooling_time,
    cooling_time_thick,
    cooling_time_thin,
    transition_thickness,
)
from traveler.metals.free_convection import convection_w_m2k, radiation_w_m2
from traveler.metals.hardness_scales import hrc_from_hv
from traveler.metals.haz_hardness import bl70s_hardness, dueren_hardness, yurioka_hardness
from traveler.metals.hollomon_jaffe import accumulated, equivalent_hours, hollomon_jaffe, hours_at
from traveler.metals.hydrogen import diffusivity_coe_moreton, fraction_left, hours_to_leave, hydrogen_left
from traveler.metals.martensite import koistinen_marburger
from traveler.metals.martensite_start import andrews_ms, kung_rayment_ms, steven_haynes_ms, van_bohemen_ms
from traveler.metals.maynier import (
    COARSE_GRAIN_PARAMETER_C,
    austenitizing_parameter_c,
    critical_rates_c_per_h,
    maynier_hardness,
    maynier_structure,
)
from traveler.metals.outcome import Outcome
from traveler.metals.preheat_loss import patch_cools_s, whole_plate_cools_s
from traveler.metals.tempering import grange_baughman_parameter, tempered_hardness

STARTS = (andrews_ms, kung_rayment_ms, steven_haynes_ms, van_bohemen_ms)
HARDNESS: Mapping[str, Callable[[Mapping[str, float], float], Outcome]] = {
    "Yurioka 1987": yurioka_hardness,
    "Lorenz-Dueren": dueren_hardness,
    "BL70S": bl70s_hardness,
    "Maynier": maynier_hardness,
}
HALF_HOUR_H = 0.5


def cooling() -> Iterator[Block]:
    """t8/5 and the thickness at which the two flows change over."""
    for check in checks("cooling_time"):
        rows = []
        for row in dicts(check):
            q, t0, d = (float(row[name]) for name in ("heat_input_kj_mm", "start_c", "thickness_mm"))
            found = (cooling_time_thick(q, t0), cooling_time_thin(q, d, t0), transition_thickness(q, t0))
            inputs = said(row, "heat_input_kj_mm", "start_c", "thickness_mm")
            rows.append(numbers(inputs, [row["thick_s"], row["thin_s"], row["transition_mm"]], found))
        yield block(
            "cooling_time", check, "t8/5 three- / two-dimensional [s] / transition thickness [mm]", "", rows
        )


def haz_hardness() -> Iterator[Block]:
    """The formulas from a cooling time, and the chain from the preheat on."""
    for check in checks("haz_hardness"):
        methods = [name for name in HARDNESS if name in check["columns"]]
        chained = "heat_input_kj_mm" in check
        rows = [_chain(check, row) if chained else _hardness(check, row, methods) for row in dicts(check)]
        names = (
            f"t8/5 [s] / {' / '.join(methods)} [HV] / martensite"
            if chained
            else f"{' / '.join(methods)} [HV]"
        )
        yield block("haz_hardness", check, f"{check['steel']}: {names}", "", rows)


def _hardness(check: Mapping[str, Any], row: Mapping[str, str], methods: Sequence[str]) -> Row:
    composition, t85_s = check["composition"], float(row["t85_s"])
    given = [name for name in methods if row[name]]
    inputs = said(row, "t85_s") + ("" if given == list(methods) else f" ({', '.join(given)})")
    return numbers(
        inputs, [row[name] for name in given], [HARDNESS[name](composition, t85_s) for name in given]
    )


def _chain(check: Mapping[str, Any], row: Mapping[str, str]) -> Row:
    composition, f2 = check["composition"], float(row["f2"])
    q, d = float(check["heat_input_kj_mm"]), float(check["thickness_mm"])
    t85_s = number(cooling_time(q, d, float(row["start_c"]), f2, f2))
    martensite = maynier_structure(composition, t85_s, COARSE_GRAIN_PARAMETER_C).martensite
    found: list[Number] = [t85_s, *(method(composition, t85_s) for method in HARDNESS.values()), martensite]
    inputs = f"{said(row, 'start_c', 'f2')}, {q:g} kJ/mm, {d:g} mm"
    return numbers(inputs, [row["t85_s"], *(row[name] for name in HARDNESS), row["martensite"]], found)


def maynier() -> Iterator[Block]:
    """Critical rates as Li prints them, the austenitizing parameter, the band of 4130H."""
    for check in checks("maynier"):
        found = dicts(check)
        if "rate" in check:
            note = (
                "The table does not say the heat treatment: reproduced is the temperature that, held for half an "
                "hour, gives the printed rate. It has to be one at which the steel is austenite, up to 935 °C."
            )
            method = f"Maynier, rate for {check['rate']}"
            yield block(
                "maynier", check | {"note": note}, method, "°C/s", [_li(check["rate"], row) for row in found]
            )
        elif "hrc_max" in check["columns"]:
            method = "Maynier on the Jominy bar, 870 °C for 30 min; the error is from the middle of the band"
            yield block(
                "maynier", check, method, "HRC", [_jominy(check["composition"], row) for row in found]
            )
        else:
            names = [name for name in check["columns"] if name.endswith("martensite")]
            method = " / ".join(["austenitizing parameter [°C]", *(f"{name} [°C/s]" for name in names)])
            rows = [_parameter(check, row, names) for row in found]
            yield block("maynier", check, method, "", rows)


def _li(rate: str, row: Mapping[str, Any]) -> Row:
    at_800, at_900 = (log10(critical_rates_c_per_h(row["composition"], c)[rate]) for c in (800.0, 900.0))
    parameter_c = 800 + 100 * (at_800 - log10(float(row["printed"]) * 3600)) / (at_800 - at_900)
    lower_c = austenitizing_parameter_c(870, 1.0) - austenitizing_parameter_c(870, HALF_HOUR_H)
    return Row(
        row["steel"], row["printed"], f"at {parameter_c + lower_c:.0f} °C for 30 min", ("none: see the note",)
    )


def _parameter(check: Mapping[str, Any], row: Mapping[str, str], names: Sequence[str]) -> Row:
    parameter_c = austenitizing_parameter_c(float(row["austenitized_c"]), float(row["hold_s"]) / 3600)
    found: list[float] = [parameter_c]
    if names:
        rates = critical_rates_c_per_h(check["composition"], parameter_c)
        found += [rates[name] / 3600 for name in names]
    inputs = said(row, "austenitized_c", "hold_s")
    return numbers(inputs, [row["parameter_c"], *(row[name] for name in names)], found)


def _jominy(composition: Mapping[str, float], row: Mapping[str, str]) -> Row:
    t85_s = 300 / (float(row["rate_f_per_s"]) / 1.8)
    hardness = maynier_hardness(composition, t85_s, austenitizing_parameter_c(870, HALF_HOUR_H))
    found = number(hrc_from_hv(load_hardness_rows(), number(hardness)))
    low, high = float(row["hrc_min"]), float(row["hrc_max"])
    error = found - (low + high) / 2
    inside = "inside" if low <= found <= high else "OUTSIDE"
    written = f"{error:+.1f}".replace("-", "−")
    inputs = f"{row['sixteenths']}/16 in, band {low:g} to {high:g}"
    return Row(inputs, inside, f"{found:.1f}", (written,), (abs(error),))


def martensite() -> Iterator[Block]:
    """Start of martensite as measured and by formula, share by one constant."""
    measured, by_formula, shares = checks("martensite")
    compositions = {row["steel"]: row["composition"] for row in dicts(measured)}
    rows = [
        numbers(steel_name, [row["measured"]] * len(STARTS), [formula(composition) for formula in STARTS])
        for row, (steel_name, composition) in zip(dicts(measured), compositions.items(), strict=True)
    ]
    names = "Andrews / Kung-Rayment / Steven-Haynes / van Bohemen"
    yield block("martensite", measured, f"Ms by {names}", "°C", rows)
    rows = [
        numbers(
            row["steel"],
            [row[outcome.method] for outcome in outcomes],
            outcomes,
        )
        for row in dicts(by_formula)
        for outcomes in [[formula(compositions[row["steel"]]) for formula in STARTS[:3]]]
    ]
    yield block("martensite", by_formula, "Ms by Andrews / Kung-Rayment / Steven-Haynes", "°C", rows)
    rows = [
        numbers(
            said(row, "temperature_c"),
            [row["share"]],
            [koistinen_marburger(382, float(row["temperature_c"]))],
        )
        for row in dicts(shares)
    ]
    yield block("martensite", shares, "share of martensite by Koistinen and Marburger", "", rows)


def bainite() -> Iterator[Block]:
    """Minutes to full bainite, fine and coarse grain."""
    for check in checks("bainite"):
        rows = []
        for row in dicts(check):
            found = bainite_time_range(row["composition"], (float(row["hold_f"]) - 32) / 1.8)
            inputs = f"{row['steel']}, {said(row, 'hold_f')}"
            rows.append(
                numbers(inputs, [row["fine_min"], row["coarse_min"]], [number(time) / 60 for time in found])
            )
        yield block("bainite", check, "Li, 99 % bainite, grain ASTM 8 / 3", "min", rows)


def tempering() -> Iterator[Block]:
    """Parameters, equivalent holds, whole treatments, the handbook's 4130."""
    found: Mapping[str, tuple[str, str, Callable[[Mapping[str, Any], Mapping[str, str]], Row]]] = {
        "Hollomon-Jaffe": ("Hollomon-Jaffe, C = 20", "(1000 K)", _parameter_of_hold),
        "Grange-Baughman parameter": ("Grange-Baughman parameter", "(1000 R)", _grange_parameter),
        "equivalent time": ("equivalent time, C = 20", "h", _equivalent),
        "trace": ("whole treatment, parameter (1000 K) / hold that it is worth [h]", "", _trace),
        "tempered hardness": ("Grange-Baughman with our fit, 4130, 1 h", "HRC", _handbook),
    }
    for check in checks("tempering"):
        method, unit, run = found[check["method"]]
        rows = [run(check, row) for row in dicts(check)]
        if check["method"] == "tempered hardness":
            mean = sum(row.sizes[0] for row in rows) / len(rows)
            check = check | {"note": f"{check['note']} Mean without sign: {mean:.1f} HRC."}
        yield block("tempering", check, method, unit, rows)


def _parameter_of_hold(check: Mapping[str, Any], row: Mapping[str, str]) -> Row:
    value = hollomon_jaffe(float(row["temperature_c"]), float(row["hours"]), float(check["constant"]))
    return numbers(said(row, "temperature_c", "hours"), [row["result"]], [value])


def _grange_parameter(check: Mapping[str, Any], row: Mapping[str, str]) -> Row:
    value = grange_baughman_parameter(float(row["temperature_c"]), float(row["hours"]))
    return numbers(said(row, "temperature_c", "hours"), [row["result"]], [value])


def _equivalent(check: Mapping[str, Any], row: Mapping[str, str]) -> Row:
    names = ("temperature_c", "hours", "at_temperature_c")
    return numbers(
        said(row, *names), [row["result"]], [equivalent_hours(*(float(row[name]) for name in names))]
    )


def _trace(check: Mapping[str, Any], row: Mapping[str, str]) -> Row:
    hot, hold = float(row["temperature_c"]), float(row["hours"])
    up, down = ((hot - 20) / float(row[name]) for name in ("heat_c_per_h", "cool_c_per_h"))
    value = accumulated([(0, 20), (up, hot), (up + hold, hot), (up + hold + down, 20)])
    inputs = said(row, "temperature_c", "hours", "heat_c_per_h", "cool_c_per_h")
    return numbers(inputs, [row["result"], row["equivalent_h"]], [value, hours_at(value, hot)])


def _handbook(check: Mapping[str, Any], row: Mapping[str, str]) -> Row:
    parameter = grange_baughman_parameter(float(row["temperature_c"]), 1)
    found = hrc_of_vickers(number(tempered_hardness(parameter, check["composition"])))
    expected = hrc_of_brinell(float(row["brinell"]))
    return numbers(f"{said(row, 'temperature_c')}, {row['brinell']} HB", [f"{expected:.1f}"], [found])


def hydrogen() -> Iterator[Block]:
    """The slab, the diffusivity, hours of a bake, a rule of thumb."""
    for check in checks("hydrogen"):
        found = dicts(check)
        if check["method"] == "Crank":
            rows = [
                numbers(
                    said(row, "fourier_number"), [row["left"]], [fraction_left(float(row["fourier_number"]))]
                )
                for row in found
            ]
            yield block("hydrogen", check, "Crank, share left in a slab", "", rows)
        elif check["method"] == "Coe-Moreton":
            rows = [
                numbers(
                    said(row, "temperature_c"),
                    [row["diffusivity_cm2_s"]],
                    [diffusivity_coe_moreton(float(row["temperature_c"]))],
                )
                for row in found
            ]
            yield block("hydrogen", check, "Coe-Moreton diffusivity", "cm²/s", rows)
        elif check["method"] == "rule of thumb":
            yield block(
                "hydrogen", check, "share removed, at best / at worst", "", [_thumb(row) for row in found]
            )
        else:
            yield block(
                "hydrogen",
                check,
                "hours to remove nine tenths, at best / at worst",
                "h",
                [_hours(row) for row in found],
            )


def _thumb(row: Mapping[str, str]) -> Row:
    band = hydrogen_left(*(float(row[name]) for name in ("thickness_mm", "temperature_c", "hours")))
    removed = [1 - number(band.least), 1 - number(band.most)]
    inputs = said(row, "thickness_mm", "temperature_c", "hours")
    return numbers(inputs, [row["removed_at_best"], row["removed_at_worst"]], removed)


def _hours(row: Mapping[str, str]) -> Row:
    band = hours_to_leave(float(row["thickness_mm"]), float(row["temperature_c"]), 0.1)
    return numbers(
        said(row, "thickness_mm", "temperature_c"), [row["least_h"], row["most_h"]], [band.least, band.most]
    )


def preheat_loss() -> Iterator[Block]:
    """Free convection, a plate hot as a whole, a torch-heated patch."""
    for check in checks("preheat_loss"):
        method = check["method"]
        if method == "fire screen":
            yield block(
                "preheat_loss",
                check,
                "film [W/(m² K)] / convection [W] / radiation [W]",
                "",
                [_screen(check)],
            )
        elif method == "whole plate":
            rows = [_plate(row) for row in dicts(check)]
            yield block("preheat_loss", check, "whole plate, to 90 / 80 / 70 %", "min", rows)
        elif method == "patch by conduction":
            rows = [_patch(row) for row in dicts(check)]
            yield block("preheat_loss", check, "patch by conduction, 10 / 20 / 30 % lost", "s", rows)
        else:
            rows = [_quarter_inch(row) for row in dicts(check)]
            yield block("preheat_loss", check, "1/4 in, until 300 °F, scaled / bright", "min", rows)


def _screen(check: Mapping[str, str]) -> Row:
    film, area_m2 = convection_w_m2k(232, 23, 0.71), 0.71 * 1.02
    found = [film, film * area_m2 * (232 - 23), radiation_w_m2(232, 23, 1.0) * area_m2]
    expected = [check[name] for name in ("film_w_m2k", "convection_w", "radiation_w")]
    return numbers("0.71 m high, 1.02 m wide, 232 °C in 23 °C", expected, found)


def _plate(row: Mapping[str, str]) -> Row:
    from_c, thickness_mm, emissivity = (float(row[name]) for name in ("from_c", "thickness_mm", "emissivity"))
    found = [
        number(whole_plate_cools_s(from_c, from_c * share / 100, thickness_mm, emissivity=emissivity)) / 60
        for share in (90, 80, 70)
    ]
    return numbers(
        said(row, "thickness_mm", "from_c", "emissivity"), [row["to_90"], row["to_80"], row["to_70"]], found
    )


def _quarter_inch(row: Mapping[str, str]) -> Row:
    start_c, end_c = ((fahrenheit - 32) / 1.8 for fahrenheit in (float(row["from_f"]), 300.0))
    found = [
        number(whole_plate_cools_s(start_c, end_c, 6.35, emissivity=emissivity)) / 60
        for emissivity in (0.8, 0.3)
    ]
    return numbers(said(row, "from_f"), [row["scaled"], row["bright"]], found)


def _patch(row: Mapping[str, str]) -> Row:
    radius_mm = float(row["heated_radius_mm"])
    found = [patch_cools_s(200, 20 + 180 * share, radius_mm) for share in (0.9, 0.8, 0.7)]
    return numbers(said(row, "heated_radius_mm"), [row["ten"], row["twenty"], row["thirty"]], found)
