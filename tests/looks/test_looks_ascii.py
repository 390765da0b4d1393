"""Where the terminal has nothing but ASCII, nothing else is drawn; the invented shop's own words are in ASCII, too."""

import pytest
from looks_kit import shots

WAYS = [((160, 50), {"TRAVELER_ASCII": "1"}), ((40, 12), {"TERM": "linux"})]


@pytest.mark.slow
@pytest.mark.parametrize(("size", "environ"), WAYS, ids=["asked for", "linux"])
def test_every_screen_is_in_ascii(size: tuple[int, int], environ: dict[str, str]) -> None:
    for name, shot in shots(size, **environ).items():
        beyond = [line for line in shot.text.splitlines() if not line.isascii()]
        assert not beyond, name


@pytest.mark.slow
def test_a_temperature_stays_one_and_a_difference_stays_one() -> None:
    text = shots((160, 50), TRAVELER_ASCII="1")["step"].text
    assert "at least 300 F (148.9 C)" in text
    assert "25 C deg (45 F deg) above the" in text
