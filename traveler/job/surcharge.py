"""What restraint, cold and damp add to the minimum of method B, and what AWS D1.1 asks of cold base metal."""

from traveler.job.sheet import Joint, Site
from traveler.library.model import Library, Printed, Units

UNKNOWN_SITE = (
    "The sheet does not say how cold and how damp it is where the welding is done ([site]). Metal or air below 5 °C "
    "adds 25 C° to EN 1011-2 method B, and so does damp (SSAB Welding Handbook, 2nd, p. 25)."
)


def surcharges(
    joint: Joint, site: Site | None, library: Library, units: Units
) -> tuple[tuple[str, Printed], ...]:
    """Each circumstance that adds to method B, in words, with its printed temperature difference."""
    found = []
    if joint.restraint == "high":
        found.append("high restraint")
    if is_colder(site, library, units, "cold below"):
        found.append("cold")
    if site is not None and site.damp:
        found.append("damp")
    return tuple((words, library.printed[words]) for words in found)


def is_colder(site: Site | None, library: Library, units: Units, limit: str) -> bool:
    """Whether the sheet says that the place is colder than a named limit."""
    if site is None or site.temperature is None:
        return False
    return site.temperature.canonical < library.printed[limit].for_units(units).canonical


def site_note(site: Site | None) -> tuple[str, ...]:
    """A note where the sheet leaves the place open."""
    return (UNKNOWN_SITE,) if site is None or site.temperature is None else ()
