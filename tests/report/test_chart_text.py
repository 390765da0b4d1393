"""Charts in text: every mark falls where the scale says, both forms fit 80 columns, nothing needs a colour."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from traveler.report.chart_text import LABELS, MARGIN, ROWS, Axis, Band, Curve, Mark, chart_lines, ticks
from traveler.report.lines import WIDTH

COLUMNS = WIDTH - MARGIN - LABELS
X, Y = Axis("preheat, °F", 0, 100), Axis("HV", 0, 150)
STEP_HV = 150 / (ROWS - 1)
FORMS = pytest.mark.parametrize("plain", [True, False], ids=["ascii", "blocks"])


def drawing(lines: list[str], plain: bool = True) -> list[str]:
    """The rows of the drawing without the axis, filled up to the right."""
    upright = "|" if plain else "│"
    rows = [line for line in lines if len(line) > MARGIN - 1 and line[MARGIN - 1] == upright]
    assert len(rows) == ROWS
    return [row[MARGIN:].ljust(COLUMNS + LABELS) for row in rows]


@FORMS
def test_a_limit_crosses_the_whole_chart_at_its_height(plain: bool) -> None:
    lines = chart_lines(X, Y, limits=[Mark(100, "limit 100 HV")], plain=plain)
    sign = "-" if plain else "─"
    filled = [at for at, row in enumerate(drawing(lines, plain)) if row.startswith(sign * COLUMNS)]
    assert filled == [round((150 - 100) / STEP_HV)]
    assert "limit 100 HV" in lines[-1]


@FORMS
def test_a_post_stands_at_its_place_with_its_words_over_it(plain: bool) -> None:
    lines = chart_lines(X, Y, posts=[Mark(50, "minimum")], plain=plain)
    column = round(50 / 100 * (COLUMNS - 1))
    assert {row[column] for row in drawing(lines, plain)} == {"|" if plain else "│"}
    assert next(line for line in lines if "minimum" in line).index("minimum") == MARGIN + column


def test_a_post_crossing_a_limit_shows_both() -> None:
    lines = chart_lines(X, Y, limits=[Mark(100, "limit")], posts=[Mark(50, "minimum")], plain=True)
    column = round(50 / 100 * (COLUMNS - 1))
    assert [row[column] for row in drawing(lines)].count("+") == 1


def test_words_of_posts_do_not_run_into_each_other() -> None:
    lines = chart_lines(X, Y, posts=[Mark(50, "interpass maximum"), Mark(52, "M90 of plate")], plain=True)
    assert sum("interpass maximum" in line for line in lines) == 1
    assert not any("interpass maximum" in line and "M90 of plate" in line for line in lines)


def test_a_band_fills_what_lies_between_its_ends_and_the_scatter_beside_it() -> None:
    lines = chart_lines(X, Y, [Band(((0, 50, 100), (100, 50, 100)), scatter=25)], plain=True)
    for row, cells in enumerate(drawing(lines)):
        height = 150 - row * STEP_HV
        if 52.5 < height < 97.5:
            assert cells[:COLUMNS] == "#" * COLUMNS
        elif 27.5 < height < 47.5 or 102.5 < height < 122.5:
            assert cells[:COLUMNS] == "." * COLUMNS
        elif height < 22.5 or height > 127.5:
            assert cells[:COLUMNS].isspace()


def test_a_band_ends_where_its_points_end() -> None:
    cells = drawing(chart_lines(X, Y, [Band(((0, 0, 150), (50, 0, 150)))], plain=True))[8]
    last = round(50 / 100 * (COLUMNS - 1))
    assert cells[: last + 1] == "#" * (last + 1)
    assert cells[last + 1 :].isspace()


def test_a_curve_goes_through_its_points_with_its_sign() -> None:
    rows = drawing(chart_lines(X, Y, curves=[Curve(((0, 150), (100, 0)), "1", "1 h")], plain=True))
    assert rows[0][0] == "1"
    assert rows[-1][COLUMNS - 1] == "1"
    assert rows[-1].rstrip().endswith("1 h")


def test_dots_draw_a_curve_in_the_same_rows_as_the_signs() -> None:
    curve = [Curve(((0, 120), (100, 30)), "4", "4 h")]
    signs = drawing(chart_lines(X, Y, curves=curve, plain=True))
    dots = drawing(chart_lines(X, Y, curves=curve), plain=False)
    for row in range(ROWS):
        for column in range(COLUMNS):
            if "\u2801" <= dots[row][column] <= "\u28ff":
                near = [signs[at][column] for at in range(max(0, row - 1), min(ROWS, row + 2))]
                assert "4" in near


def test_names_of_curves_that_end_together_stand_on_rows_of_their_own() -> None:
    curves = [Curve(((0, 70), (100, 60)), sign, f"{sign} h") for sign in "124"]
    rows = drawing(chart_lines(X, Y, curves=curves, plain=True))
    assert [row.rstrip()[-3:] for row in rows if row.rstrip().endswith(" h")] == ["1 h", "2 h", "4 h"]


def test_what_lies_outside_is_left_out() -> None:
    lines = chart_lines(X, Y, limits=[Mark(500, "far limit")], posts=[Mark(500, "far post")], plain=True)
    assert "far" not in "".join(lines)


def test_an_axis_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="length"):
        chart_lines(Axis("x", 1, 1), Y)


@pytest.mark.parametrize(
    ("low", "high", "most", "expected"),
    [(0, 100, 5, [0, 20, 40, 60, 80, 100]), (70, 500, 8, [100, 200, 300, 400, 500]), (7, 8, 2, [7, 7.5, 8])],
)
def test_ticks_are_round(low: float, high: float, most: int, expected: list[float]) -> None:
    assert ticks(low, high, most) == expected


@given(
    points=st.lists(
        st.tuples(st.floats(-50, 1500), st.floats(-100, 900), st.floats(0, 300)), min_size=1, max_size=12
    ),
    limit=st.floats(-500, 1500),
    plain=st.booleans(),
)
def test_any_chart_fits_and_the_plain_one_is_ascii(
    points: list[tuple[float, float, float]], limit: float, plain: bool
) -> None:
    rising = sorted(points)
    band = Band(tuple((x, low, low + width) for x, low, width in rising), scatter=40)
    curve = Curve(tuple((x, low) for x, low, _ in rising), "1", "1 h")
    lines = chart_lines(
        Axis("preheat, F", -50, 1500), Axis("HV", -100, 1200), [band], [curve], [Mark(limit, "limit")],
        [Mark(limit, "post")], plain=plain,
    )  # fmt: skip
    assert all(cell_len(line) <= WIDTH for line in lines)
    assert all("\x1b" not in line for line in lines)
    if plain:
        assert all(line.isascii() for line in lines)
