"""Carbon equivalents of a material for the head of the traveler, each with its validity."""

from traveler.job.analysis import Analysis
from traveler.metals.carbon_equivalents import indices

AUSTENITIC = "austenitic stainless"
INDEX_ELEMENTS = ("C", "Mn")


def index_words(analysis: Analysis, family: str) -> str:
    """CE(IIW), CET, Pcm and CEN on the worse side; says where one is outside its validity or not computable."""
    if family == AUSTENITIC:
        return "not applicable: austenitic steel does not harden"
    missing = analysis.missing_for(INDEX_ELEMENTS)
    if missing:
        return f"not computable: {', '.join(missing)} unknown"
    words = []
    for outcome in indices(analysis.composition):
        value = "none" if outcome.value is None else f"{outcome.value:.3f}"
        reasons = "; ".join(_as_certified(reason, analysis) for reason in outcome.reasons)
        outside = "" if outcome.status == "ok" else f" ({outcome.status}: {reasons})"
        words.append(f"{outcome.method} {value}{outside}")
    return ", ".join(words)


def _as_certified(reason: str, analysis: Analysis) -> str:
    """A reason that begins with an element's content, with the figure as the certificate has it."""
    for element, figure in analysis.figures.items():
        computed = f"{element} {analysis.reported[element]:g} % "
        if reason.startswith(computed):
            return f"{element} {figure} % {reason.removeprefix(computed)}"
    return reason
