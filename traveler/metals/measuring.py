"""Where and when to read a preheat or interpass temperature, and how far the heat must reach."""

from traveler.metals.validity import require_positive


def measuring_distance_iso_13916_mm(thickness_mm: float) -> float:
    """Distance from the longitudinal edge of the groove at which to read [mm].

    t up to 50 mm: A = 4 t, at most 50 mm. Above: the required temperature must exist for at least 75 mm
    in any direction from the preparation (or as agreed), so that is where it is read.

    Input: ``thickness_mm`` t [mm] of the member at the weld, each member of a joint at its own.
    Validity: heat source centred on the groove, reading on the face towards the welder. With heaters
    fixed beside the groove, read on the weld metal or on the parent metal directly beside the preparation.
    Raises ValueError where the thickness is not greater than zero.
    Source: ISO 13916:2025 [seen]; the 2017 edition has the same distances [seen].

    >>> [measuring_distance_iso_13916_mm(thickness_mm) for thickness_mm in (6, 12.5, 40, 60)]
    [24.0, 50.0, 50.0, 75.0]
    """
    require_positive("thickness_mm", thickness_mm)
    if thickness_mm > 50:
        return 75.0
    return min(4.0 * thickness_mm, 50.0)


def waiting_time_iso_13916_s(thickness_mm: float) -> float:
    """Time between taking the heat away and reading on the heated face [s]: about 2 min for each 25 mm.

    Input: ``thickness_mm`` [mm] of the member that is read.
    Validity: only where the reading is taken on the heated face; on the opposite face there is no wait.
    Raises ValueError where the thickness is not greater than zero.
    Source: ISO 13916:2025 [seen]. The standard says "about".

    >>> [waiting_time_iso_13916_s(thickness_mm) for thickness_mm in (10, 25, 75)]
    [48.0, 120.0, 360.0]
    """
    require_positive("thickness_mm", thickness_mm)
    return 120.0 * thickness_mm / 25.0


def preheat_reach_d11_mm(thickest_mm: float) -> float:
    """How far from the point of welding, in all directions, the preheat must reach [mm].

    The thickness of the thickest part welded, and at least 75 mm.

    Input: ``thickest_mm`` [mm], the thickest member of the joint. Validity: none stated beyond that of
    the code.
    Raises ValueError where the thickness is not greater than zero.
    Source: AWS D1.1 [secondary; clause 7.6 in the 2020 edition from memory], which prints 3 in beside 75 mm.

    >>> preheat_reach_d11_mm(25.4), preheat_reach_d11_mm(101.6)
    (75.0, 101.6)
    """
    require_positive("thickest_mm", thickest_mm)
    return max(thickest_mm, 75.0)
