"""What the library words for a step, as a requirement: options, why, where, and the rule behind it."""

from traveler.job.requirement import Basis, Evidence, Requirement
from traveler.library.asked import load_asked


def asked(
    name: str,
    about: str = "",
    joint: str | None = None,
    *,
    options: tuple[str, ...] = (),
    accepts: tuple[str, ...] = (),
    working: tuple[tuple[str, str], ...] = (),
) -> Requirement:
    """The entry of that name for a material (``about``) or a joint.

    ``options`` and ``accepts``, where given, take the place of the entry's own: some depend on the job.
    """
    entry = load_asked()[name]
    rule = Basis(entry.method, None, "governs", "ok", None, None, entry.source, (), about or None, working)
    return Requirement(
        quantity=entry.quantity.format(about=about),
        type=entry.type,
        unit=entry.unit,
        options=options or entry.options,
        accepts=accepts or entry.accepts,
        joint=joint,
        why=entry.why,
        evidence=Evidence(where=entry.where),
        basis=(rule,),
    )


def asked_quantity(name: str, about: str = "") -> str:
    """What the entry of that name is called in a step."""
    return load_asked()[name].quantity.format(about=about)
