"""The greatest CET inside a guaranteed CE(IIW), against random compositions and against sums by hand."""

from hypothesis import given
from hypothesis import strategies as st

from traveler.metals.carbon_equivalents import ce_iiw, cet
from traveler.metals.worst_case import greatest_cet_under_cev

# EN 10025-2:2004 table 2, seen: S355J2 up to 30 mm; CE(IIW) 0.45 of table 6, memory.
S355J2 = {"C": 0.20, "Mn": 1.60, "Cu": 0.55, "Cr": 0.30, "Mo": 0.08, "Ni": 0.30}
shares = st.dictionaries(st.sampled_from(sorted(S355J2)), st.floats(0, 1), min_size=6, max_size=6)


@given(shares=shares)
def test_no_composition_inside_the_guarantee_has_a_greater_cet(shares: dict[str, float]) -> None:
    composition = {symbol: round(share * S355J2[symbol], 4) for symbol, share in shares.items()}
    if ce_iiw(composition) <= 0.45:
        assert cet(composition) <= greatest_cet_under_cev({}, S355J2, 0.45) + 1e-9


def test_by_hand() -> None:
    """0.45 - 0.20 (C) - 0.55/15 (Cu) leaves 0.21333 for Mn: 1.28 %. CET = 0.20 + 0.0275 + 0.128."""
    assert abs(greatest_cet_under_cev({}, S355J2, 0.45) - 0.3555) < 1e-6


def test_what_is_reported_is_not_assumed() -> None:
    """C 0.16 and Mn 1.40 leave 0.05667: Cu 0.55 takes 0.03667, Mo 0.08 another 0.016, Ni 0.06 the rest of 0.004."""
    greatest = greatest_cet_under_cev({"C": 0.16, "Mn": 1.40}, S355J2, 0.45)
    assert abs(greatest - (0.16 + 0.14 + 0.0275 + 0.008 + 0.06 / 40)) < 1e-6


def test_reported_contents_over_the_guarantee_leave_nothing() -> None:
    assert greatest_cet_under_cev({"C": 0.22, "Mn": 1.60}, S355J2, 0.45) == cet({"C": 0.22, "Mn": 1.60})
