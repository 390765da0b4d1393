"""The routes of a job as plain text: limits, choices, which combination satisfies them, charts with their tables."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from rich.cells import cell_len

from traveler.report.in_ascii import in_ascii
from traveler.report.lines import WIDTH, joined, padded, wrapped
from traveler.report.routes_chart_text import preheat_chart, relief_chart
from traveler.report.words import Object, visible

REMARKS = (
    "Nothing here is recommended: it is said which combination satisfies the job's limits and which does not.",
    "Hardness is that of the zone beside the weld, where it is hardest; weld metal and base metal are not predicted. "
    "Predictions are bands of published methods; measured welds scatter about them as said. HV10 on the section of a "
    "coupon shows it.",
    "As welded: the softer and the harder of Maynier 1978 [secondary] and Yurioka 1987 [memory], over the range of "
    "t8/5 (EN 1011-2 annex D [secondary], shape factors, 10 % scatter), for one run that starts at the preheat. A "
    "later run tempers it.",
    "After relief: Grange and Baughman's factors [memory] with our own fit of their carbon base, for a zone that was "
    "all martensite, and never harder than as welded: an upper bound. From the hold alone, without heating and "
    "cooling.",
    "Hydrogen left: diffusion out of both faces of a plate as thick as the thickest member, by Coe and Moreton 1969 at "
    "one end and by Sakamoto and Tabaru 1981 at the other [seen]. Holds and bakes: TWI Job Knowledge 46 [seen].",
    "Hours are estimates of time at temperature. Preheat: 2 min for each 25 mm to even out (ISO 13916) and the hold "
    "above Ms where there is one; heating up and the welding itself are not on the sheet and come on top. Relief: the "
    "hold, and heating and cooling at the greatest rates of its profile; least from the temperature where its rates "
    "begin, most from and to room temperature.",
    "Nothing here claims compliance with a code or standard. Local codes and licensed practice rule.",
)
WIDTH_OF_HOURS = 10


def routes_text(obj: Object, plain: bool = False) -> str:
    """The object of ``routes --json`` in 80 columns. ``plain``: ASCII only, but for what somebody typed."""
    if plain:
        obj = in_ascii(obj)
    lines = [f"ROUTES FOR JOB {visible(obj['job'])}", visible(obj["title"]), ""]
    for joint in obj["joints"]:
        lines += [*_joint(joint, obj["units"], plain), ""]
    lines += ["WHAT THE NUMBERS REST ON", *(f"  {remark}" for remark in REMARKS)]
    text = joined(line for long in lines for line in _folded(long))
    return str(in_ascii(text)) if plain else text


def _folded(line: str) -> list[str]:
    body = line.lstrip(" ")
    if cell_len(line) <= WIDTH:
        return [line]
    return wrapped(body, indent=" " * (len(line) - len(body)))


def _joint(joint: Object, units: str, plain: bool) -> Iterator[str]:
    limits = joint["limits"]
    yield f"JOINT {visible(joint['joint'])}"
    yield (
        f"  {joint['type']}, process {joint['process']}, thickest member {joint['thickest']}, heat input "
        f"{limits['heat_input_kj_mm']:g} kJ/mm as on the sheet"
    )
    yield from section("LIMITS", limit_lines(joint))
    yield from section("CONFLICTS", joint["conflicts"])
    yield from section("NOTES", joint["notes"])
    yield from ("", "P: PREHEAT AND INTERPASS", *preheat_lines(joint))
    yield from ("", *preheat_chart(joint, units, plain))
    yield from ("", "H: HYDROGEN AFTER THE LAST RUN", *bake_lines(joint))
    yield from ("", "S: STRESS RELIEF", *relief_lines(joint))
    if joint["charts"]["tempered_against_relief"]:
        yield from ("", *relief_chart(joint, units, plain))
    yield from ("", "ROUTES", *_routes(joint))
    yield from section("WHY NOT", why_not(joint))
    yield from section("OF THOSE THAT SATISFY", satisfying_remarks(joint))


def section(title: str, entries: Iterable[str]) -> list[str]:
    """A title and its entries behind an empty line; nothing without entries."""
    found = [f"  {visible(entry)}" for entry in entries]
    return ["", title, *found] if found else []


def limit_lines(joint: Object) -> Iterator[str]:
    """Each limit that the routes are held against, with what sets it."""
    limits = joint["limits"]
    if limits["preheat_min"]:
        yield f"Preheat at least {limits['preheat_min']} by {limits['preheat_min_by']}"
    else:
        yield "Preheat: minimum not determined"
    if limits["preheat_max"]:
        yield f"Preheat at most {limits['preheat_max']} by {limits['preheat_max_by']}"
    if limits["interpass_max"]:
        yield f"Interpass at most {limits['interpass_max']} by {limits['interpass_max_by']}"
    else:
        yield "Interpass: no maximum is set"
    if limits["hardness"]:
        yield (
            f"Hardness at most {limits['hardness']} by the job sheet: after relief in a route that has one, else as "
            "welded"
        )
    else:
        yield "Hardness: the job sets no limit, so it decides nothing here"
    low, high = limits["arc_energy_kj_mm"]
    if low is not None and high is not None:
        yield f"Arc energy {low:g} to {high:g} kJ/mm, for its cooling time t8/5"
    for row in limits["soak_rows"]:
        bound = "at least" if row["bound"] == "at_least" else "at most"
        member = f" of {row['member']}" if row["member"] else ""
        yield f"Soak {bound} {row['value']} by {row['method']}{member} [{row['mark']}]"
    for row in limits["martensite"]:
        yield (
            f"Martensite of {row['material']}: Ms about {_both(row['ms_c'])}, M90 about {_both(row['m90_c'])}, each "
            "good to 15 C° or worse"
        )


def _both(temperature_c: float) -> str:
    return f"{temperature_c:.0f} °C ({temperature_c * 1.8 + 32:.0f} °F)"


def preheat_lines(joint: Object) -> Iterator[str]:
    """The preheats that are weighed, and what is to be said of them."""
    yield f"      {padded('preheat', 20)}{padded('interpass at most', 20)}runs and martensite"
    for choice in joint["preheats"]:
        interpass, way = choice["interpass_max"] or "none set", choice["way"] or "-"
        yield f"  {choice['label']}  {padded(choice['preheat'], 20)}{padded(interpass, 20)}{way}"
    yield from _remarks((choice["label"], choice["says"]) for choice in joint["preheats"])


def bake_lines(joint: Object) -> Iterator[str]:
    """What may be done for hydrogen, and how much of it stays."""
    for bake in joint["bakes"]:
        weighed = [after for after in bake["after"] if after["temperature"]]
        if not weighed:
            yield f"  {bake['label']}  {bake['name']}"
            continue
        least, most = weighed[0]["hours"]
        if len({after["temperature"] for after in weighed}) == 1 and bake["name"] != "held at the preheat":
            first = weighed[0]
            yield (
                f"  {bake['label']}  {bake['name']} {least:g} to {most:g} h at {first['temperature']}: hydrogen left "
                f"{_percent(first)}"
            )
        else:
            shares = ", ".join(f"{after['preheat']} {_percent(after)}" for after in weighed)
            yield f"  {bake['label']}  {bake['name']} {least:g} to {most:g} h: hydrogen left after {shares}"
    yield from _remarks(
        (f"{after['preheat']} {bake['label']}", after["says"])
        for bake in joint["bakes"]
        for after in bake["after"]
    )


def _percent(after: Object) -> str:
    share = after["hydrogen_left_percent"]
    return "not known" if share is None else f"{share[0]} to {share[1]} %"


def relief_lines(joint: Object) -> Iterator[str]:
    """The stress reliefs that are weighed, with the hardness that each leaves."""
    for choice in joint["reliefs"]:
        soak = f" at {choice['soak']}" if choice["soak"] else ""
        hours = f": {_hours(choice['hours'])} with heating and cooling" if choice["profile"] else ""
        yield f"  {choice['label']}  {visible(choice['name'])}{soak}{hours}"
        for material in _after(joint, choice["label"]):
            yield f"        {material}"
    yield from _remarks((choice["label"], choice["says"]) for choice in joint["reliefs"])


def _after(joint: Object, relief: str) -> Iterator[str]:
    """What the relief leaves of each metal after the first preheat weighed: the hardest case."""
    route = next((r for r in joint["routes"] if r["route"].split()[2] == relief and r["after_relief"]), None)
    for hardness in route["after_relief"] if route else ():
        if hardness["hv"] is None:
            yield f"{visible(hardness['material'])}: not predicted"
            continue
        low, high = hardness["hv"]
        extrapolated = ", extrapolated" if hardness["extrapolated"] else ""
        yield (
            f"{visible(hardness['material'])}: {low} to {high} HV after {route['route'].split()[0] if route else ''}, "
            f"scatter ± {hardness['scatter_hv']}{extrapolated}"
        )


def _remarks(said: Iterable[tuple[str, Sequence[str]]]) -> Iterator[str]:
    """Each sentence once, behind the choices that it holds for."""
    labels: dict[str, list[str]] = {}
    for label, sentences in said:
        for sentence in sentences:
            labels.setdefault(sentence, []).append(label)
    for sentence, of in labels.items():
        yield f"      {_condensed(of)}: {visible(sentence)}"


def _condensed(labels: Sequence[str]) -> str:
    """ "P1-P5 H2, H3" for every combination of those: the firsts of each second label, then equal ones together."""
    firsts: dict[str, list[str]] = {}
    for label in labels:
        first, _, second = label.partition(" ")
        firsts.setdefault(second, []).append(first)
    seconds: dict[str, list[str]] = {}
    for second, of in firsts.items():
        seconds.setdefault(_runs(list(dict.fromkeys(of))), []).append(second)
    return "; ".join(f"{first} {', '.join(of)}".strip() for first, of in seconds.items())


def _runs(labels: Sequence[str]) -> str:
    """ "P1-P3, P5"."""
    runs: list[list[int]] = []
    for number in sorted(int(label[1:]) for label in labels):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    letter = labels[0][0]
    return ", ".join(
        f"{letter}{run[0]}" if len(run) == 1 else f"{letter}{run[0]}-{letter}{run[-1]}" for run in runs
    )


@dataclass(frozen=True, slots=True)
class Combination:
    """A preheat with a stress relief, "P1 S2": hours at temperature for each bake in turn, and whether it satisfies."""

    label: str
    hours: tuple[str, ...]
    answer: str


def combinations(joint: Object) -> Iterator[Combination]:
    """Each preheat with each relief."""
    bakes = [bake["label"] for bake in joint["bakes"]]
    for preheat in joint["preheats"]:
        for relief in joint["reliefs"]:
            routes = {
                route["route"].split()[1]: route
                for route in joint["routes"]
                if route["route"].split()[::2] == [preheat["label"], relief["label"]]
            }
            hours = tuple(_cell(routes.get(bake)) for bake in bakes)
            yield Combination(f"{preheat['label']} {relief['label']}", hours, _answer(list(routes.values())))


def _routes(joint: Object) -> Iterator[str]:
    """A line for each preheat with each relief; the bakes change the hours, so they are the columns."""
    heads = [f"{bake['label']}, h" for bake in joint["bakes"]]
    yield f"  {padded('', 7)}{''.join(padded(head, WIDTH_OF_HOURS) for head in heads)}"
    for row in combinations(joint):
        cells = "".join(padded(cell, WIDTH_OF_HOURS) for cell in row.hours)
        yield from _with_answer(f"  {padded(row.label, 7)}{cells}", row.answer)


def _with_answer(line: str, answer: str) -> list[str]:
    first, *rest = wrapped(f"{line}{answer}".strip(), indent="  ", hang=" " * (len(line) - 2))
    return [f"{line}{answer}"] if len(line) + len(answer) <= WIDTH else [first, *rest]


def _cell(route: Object | None) -> str:
    return "-" if route is None else _hours(route["hours"]).removesuffix(" h")


def _answer(routes: Sequence[Object]) -> str:
    """One answer where every bake gives the same one, else each behind its bake."""
    answers = {route["route"].split()[1]: _one_answer(route) for route in routes}
    if len(set(answers.values())) == 1:
        return next(iter(answers.values()))
    return "; ".join(f"{bake} {answer}" for bake, answer in answers.items())


def _one_answer(route: Object) -> str:
    if not route["satisfies"]:
        return "no: " + ", ".join(dict.fromkeys(fail.split(":")[0] for fail in route["fails"]))
    scatter = ["by less than the scatter"] if route["within_scatter"] else []
    extrapolated = ["extrapolated"] if route["extrapolated"] else []
    return ", ".join(["yes", *scatter, *extrapolated])


def _hours(hours: Sequence[float]) -> str:
    least, most = hours
    return f"{least:.1f} h" if f"{least:.1f}" == f"{most:.1f}" else f"{least:.1f}-{most:.1f} h"


def why_not(joint: Object) -> list[str]:
    """Each reason why a combination fails, behind the combinations that it holds for."""
    return _grouped(joint["routes"], "fails")


def _grouped(routes: Sequence[Object], key: str) -> list[str]:
    """Each sentence once, with the preheats and reliefs of the routes that it holds for."""
    held: dict[str, dict[str, None]] = {}
    for route in routes:
        preheat, _, relief = route["route"].split()
        for sentence in route[key]:
            held.setdefault(sentence, {})[f"{preheat} {relief}"] = None
    return [f"{_condensed(list(of))}: {sentence}" for sentence, of in held.items()]


def satisfying_remarks(joint: Object) -> list[str]:
    """What the satisfying routes rest on, but for what stands under the choices they are made of."""
    told = {
        sentence for key in ("preheats", "reliefs") for choice in joint[key] for sentence in choice["says"]
    }
    told |= {sentence for bake in joint["bakes"] for after in bake["after"] for sentence in after["says"]}
    routes = [
        {**route, "says": [sentence for sentence in route["says"] if sentence not in told]}
        for route in joint["routes"]
        if route["satisfies"]
    ]
    return _grouped(routes, "says")
