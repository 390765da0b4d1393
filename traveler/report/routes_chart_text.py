"""The two charts of a joint's routes, each with the table of its points."""

from collections.abc import Iterator, Sequence

from rich.cells import cell_len

from traveler.job.rough import seconds_down, seconds_up
from traveler.job.route_hardness import STANDARD_DEVIATIONS
from traveler.metals.tempering import SCATTER_RMS_HRC
from traveler.report.chart_text import PRINTED, Axis, Band, Curve, Mark, Size, chart_lines
from traveler.report.lines import padded
from traveler.report.words import Object, visible

LETTER = {"inch": "°F", "metric": "°C"}
ROOM_HV = 50
"""Hardness left free above and below what is drawn."""


def preheat_chart(joint: Object, units: str, plain: bool, size: Size = PRINTED) -> Iterator[str]:
    """Band of the hardest metal against preheat, with the limit and the minimum; then every metal in a table."""
    points = joint["charts"]["hardness_against_preheat"]
    limits = joint["limits"]
    drawn = _hardest_material(points)
    yield f"Predicted hardness beside the weld as welded, {visible(drawn) if drawn else 'none'}, against preheat"
    band = _band(points, drawn) if drawn else Band(())
    if len(band.points) > 1:
        top = max(high for _, _, high in band.points) + band.scatter
        bottom = min(low for _, low, _ in band.points) - band.scatter
        posts = _preheat_posts(joint, units)
        yield from _chart(
            Axis(f"preheat, {LETTER[units]}", points[0]["at"], points[-1]["at"]),
            (bottom, top, limits["hardness_hv"]),
            [band],
            (),
            _limit(limits),
            posts,
            plain,
            size,
        )
    else:
        yield "  No chart: there is no prediction at more than one preheat."
    yield ""
    yield from _preheat_table(points, LETTER[units])


def relief_chart(joint: Object, units: str, plain: bool, size: Size = PRINTED) -> Iterator[str]:
    """Tempered hardness of one metal against relief temperature for each hold; then the table."""
    every = joint["charts"]["tempered_against_relief"]
    points = [point for point in every if None not in point["hv"].values()]
    limits = joint["limits"]
    values = [value for point in points for value in point["hv"].values()]
    yield (
        "Hardness left by a stress relief where the zone was all martensite (upper bound), "
        f"{', '.join(dict.fromkeys(visible(point['material']) for point in points)) or 'none'}"
    )
    if len(points) > 1 and values:
        holds = list(points[0]["hv"])
        curves = [
            Curve(tuple((point["at"], point["hv"][hold]) for point in points), hold, f"{hold} h")
            for hold in holds
        ]
        yield from _chart(
            Axis(f"relief temperature, {LETTER[units]}", points[0]["at"], points[-1]["at"]),
            (min(values), max(values), limits["hardness_hv"]),
            (),
            curves,
            _limit(limits),
            _soak_posts(limits, units),
            plain,
            size,
        )
    yield ""
    yield from _relief_table(points, limits)


def _chart(
    x: Axis,
    reach: tuple[float, float, float | None],
    bands: Sequence[Band],
    curves: Sequence[Curve],
    limits: Sequence[Mark],
    posts: Sequence[Mark],
    plain: bool,
    size: Size,
) -> list[str]:
    bottom, top, limit = reach
    lowest, highest = min(bottom, limit or bottom), max(top, limit or top)
    y = Axis("HV", (lowest - ROOM_HV) // 50 * 50, -(-(highest + ROOM_HV) // 50) * 50)
    return chart_lines(x, y, bands, curves, limits, posts, plain, size)


def _hardest_material(points: Sequence[Object]) -> str | None:
    """The metal whose band reaches highest."""
    tops: dict[str, float] = {}
    for point in points:
        for hardness in point["hardness"]:
            if hardness["hv"]:
                tops[hardness["material"]] = max(tops.get(hardness["material"], 0.0), hardness["hv"][1])
    return max(tops, key=lambda material: tops[material], default=None)


def _band(points: Sequence[Object], material: str) -> Band:
    """The points of one metal up to the first without a prediction."""
    found: list[tuple[float, float, float]] = []
    scatter = 0.0
    for point in points:
        hardness = next(h for h in point["hardness"] if h["material"] == material)
        if hardness["hv"] is None:
            break
        found.append((point["at"], *hardness["hv"]))
        scatter = hardness["scatter_hv"]
    return Band(tuple(found), scatter)


def _limit(limits: Object) -> list[Mark]:
    return [Mark(limits["hardness_hv"], f"limit {limits['hardness']}")] if limits["hardness_hv"] else []


def _preheat_posts(joint: Object, units: str) -> list[Mark]:
    limits = joint["limits"]
    posts = []
    if limits["preheat_min_c"] is not None:
        posts.append(Mark(_degrees(limits["preheat_min_c"], units), "minimum"))
    if limits["interpass_max_c"] is not None:
        posts.append(Mark(_degrees(limits["interpass_max_c"], units), "interpass maximum"))
    posts += [
        Mark(_degrees(row["m90_c"], units), f"M90 of {visible(row['material'])}")
        for row in limits["martensite"]
    ]
    return posts


def _soak_posts(limits: Object, units: str) -> list[Mark]:
    posts = []
    for row in limits["soak_rows"]:
        kind = "soak from" if row["bound"] == "at_least" else "at most"
        posts.append(Mark(_degrees(row["value_c"], units), f"{kind}: {row['method']}"))
    return posts


def _degrees(temperature_c: float, units: str) -> float:
    return temperature_c * 1.8 + 32 if units == "inch" else temperature_c


def _preheat_table(points: Sequence[Object], letter: str) -> Iterator[str]:
    """A column for each metal; an asterisk where its value is extrapolated."""
    if not points:
        return
    metals = [hardness["material"] for hardness in points[0]["hardness"]]
    width = max(14, *(cell_len(visible(metal)) + 6 for metal in metals))
    heads = "".join(padded(f"{visible(metal)}, HV", width) for metal in metals)
    yield f"  {padded('preheat', 10)}{padded('t8/5, s', 12)}{heads}"
    for point in points:
        times = point["t85_s"]
        t85 = "-" if times is None else f"{seconds_down(times[0])} to {seconds_up(times[1])}"
        cells = "".join(padded(_hv(hardness), width) for hardness in point["hardness"])
        at = f"{point['at']:.0f} {letter}"
        yield f"  {padded(at, 10)}{padded(t85, 12)}{cells}"
    yield from _below_the_table(points)


def _below_the_table(points: Sequence[Object]) -> Iterator[str]:
    every = [hardness for point in points for hardness in point["hardness"]]
    scatter = next((hardness["scatter_hv"] for hardness in every if hardness["scatter_hv"]), None)
    if scatter:
        yield f"      scatter ± {scatter:g} HV (twice the standard deviation of such methods, TWI 2008 [seen])"
    for material in dict.fromkeys(hardness["material"] for hardness in every):
        own = [hardness for hardness in every if hardness["material"] == material]
        without = dict.fromkeys(r for hardness in own if hardness["hv"] is None for r in hardness["reasons"])
        assumed = dict.fromkeys(words for hardness in own for words in hardness["assumed"])
        name = visible(material)
        yield from (f"      * {name} {visible(words)}" for words in _extrapolations(points, material))
        yield from (f"      - {name}: {visible(reason)}" for reason in list(without)[:1])
        yield from (f"      {name}: {visible(words)}" for words in assumed)


def _extrapolations(points: Sequence[Object], material: str) -> list[str]:
    """Why the coldest and the hottest extrapolated value of a metal are; those between share their reasons."""
    found = {
        point["preheat"]: "; ".join(hardness["reasons"])
        for point in points
        for hardness in point["hardness"]
        if hardness["material"] == material and hardness["extrapolated"]
    }
    ends = list(found)[:1] if len(set(found.values())) == 1 else list(found)[:: max(1, len(found) - 1)]
    return [f"from {at} extrapolated: {found[at]}" for at in ends]


def _hv(hardness: Object) -> str:
    if hardness["hv"] is None:
        return "-"
    low, high = hardness["hv"]
    return f"{low} to {high}{' *' if hardness['extrapolated'] else ''}"


def _relief_table(points: Sequence[Object], limits: Object) -> Iterator[str]:
    if not points:
        return
    holds = list(points[0]["hv"])
    low_c, high_c = limits["soak_c"]
    yield f"  {padded('relief at', 12)}{''.join(padded(f'{hold} h, HV', 10) for hold in holds)}"
    for point in points:
        cells = "".join(padded("-" if v is None else f"{v}", 10) for v in point["hv"].values())
        within = (
            low_c is not None and low_c <= point["soak_c"] and (high_c is None or point["soak_c"] <= high_c)
        )
        words = ["in the soak range"] if within else []
        words += ["extrapolated"] if point["extrapolated"] else []
        yield f"  {padded(point['soak'], 12)}{cells}{', '.join(words)}"
    scatter = f"{STANDARD_DEVIATIONS * SCATTER_RMS_HRC:g} HRC"
    yield f"      scatter ± {scatter} (twice the error on 4140 that the fit has not seen), near 40 HV here"
