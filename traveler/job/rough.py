"""Predicted values as a person should read them: bands, rounded outward, no finer than the methods are."""

from math import ceil, floor


def about_percent(shares: tuple[float, float]) -> str:
    """ "about 45 to 70 %" of two shares [1], to the nearest 5 %."""
    low, high = (round(20 * share) * 5 for share in sorted(shares))
    return f"about {low} %" if low == high else f"about {low} to {high} %"


def span(low: float, high: float, unit: str = "") -> str:
    """ "3.05 to 6.35 mm", or one number where both are the same."""
    ends = f"{low:.3g}" if low == high else f"{low:.3g} to {high:.3g}"
    return f"{ends} {unit}".strip()


def seconds(ends: tuple[float, float] | None) -> str:
    """ "8 to 13 s"."""
    return "not applicable" if ends is None else f"{seconds_down(ends[0])} to {seconds_up(ends[1])} s"


def seconds_down(value: float) -> str:
    """Down to half a second below 10 s, to a second below 50 s, to 5 s above: the formulas are no better."""
    return f"{floor(value / _step_s(value)) * _step_s(value):g}"


def seconds_up(value: float) -> str:
    """Up, as finely as ``seconds_down``."""
    return f"{ceil(value / _step_s(value)) * _step_s(value):g}"


def _step_s(value: float) -> float:
    return 0.5 if value < 10 else 1.0 if value < 50 else 5.0


def hv_down(hv: float) -> int:
    """Down to a multiple of 5 HV."""
    return floor(hv / 5) * 5


def hv_up(hv: float) -> int:
    """Up to a multiple of 5 HV."""
    return ceil(hv / 5) * 5


def percent_down(share: float) -> int:
    """A share [1] in percent, down to a multiple of 5."""
    return floor(20 * share) * 5


def percent_up(share: float) -> int:
    """A share [1] in percent, up to a multiple of 5."""
    return ceil(20 * share) * 5
