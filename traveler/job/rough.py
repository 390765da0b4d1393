"""Predicted values as a person should read them: bands, rounded outward, no finer than the methods are."""

from math import ceil, floor


def about_percent(shares: tuple[float, float]) -> str:
    low, high = (round(20 * share) * 5 for share in sorted(shares))
    return f"about {low} %" if low == high else f"about {low} to {high} %"


def span(low: float, high: float, unit: str = "") -> str:
    ends = f"{low:.3g}" if low == high else f"{low:.3g} to {high:.3g}"
    return f"{ends} {unit}".strip()


def seconds(low: float | None, high: float | None) -> str:
    if low is None or high is None:
        return "not applicable"
    return f"{seconds_down(low)} to {seconds_up(high)} s"


def seconds_down(value: float) -> str:
    """Down to half a second below 10 s and to a second above: the formulas are no better."""
    return f"{floor(2 * value) / 2 if value < 10 else floor(value):g}"


def seconds_up(value: float) -> str:
    return f"{ceil(2 * value) / 2 if value < 10 else ceil(value):g}"


def hv_down(hv: float) -> int:
    return floor(hv / 5) * 5


def hv_up(hv: float) -> int:
    return ceil(hv / 5) * 5
