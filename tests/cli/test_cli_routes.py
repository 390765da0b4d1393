"""``routes``: text with its charts, JSON, exit status, bad input."""

from pathlib import Path

import pytest
from cli_kit import SHEET, Answer, Commands, refused
from rich.cells import cell_len

from traveler.cli.routes import wants_ascii

LIMIT = SHEET.replace('stress_relief = "shop 4130"', 'stress_relief = "shop 4130"\nhardness_limit = "350 HV"')


def routes(traveler: Commands, text: str, *arguments: object) -> Answer:
    return traveler("routes", "-", *arguments, stdin=text.encode())


def test_the_text_has_limits_choices_routes_and_both_charts(traveler: Commands) -> None:
    answer = routes(traveler, LIMIT)
    assert (answer.status, answer.err) == (0, "")
    for title in (
        "LIMITS",
        "P: PREHEAT",
        "H: HYDROGEN",
        "S: STRESS RELIEF",
        "ROUTES",
        "WHY NOT",
        "WHAT THE NUMBERS",
    ):
        assert f"\n{title}" in answer.out
    assert "limit 350 HV" in answer.out
    assert "Nothing here is recommended" in answer.out
    assert "no: stress relief, hardness after welding" in answer.out
    assert "P1 S2  2.4-5.9" in answer.out


def test_each_chart_has_its_table(traveler: Commands) -> None:
    out = routes(traveler, LIMIT).out
    assert out.index("Predicted hardness beside the weld") < out.index("  preheat   t8/5, s")
    assert out.index("Hardness left by a stress relief") < out.index("  relief at")


def test_no_line_is_wider_than_80_columns(traveler: Commands) -> None:
    assert all(cell_len(line) <= 80 for line in routes(traveler, LIMIT).out.splitlines())


def test_long_and_wide_names_do_not_widen_it(traveler: Commands) -> None:
    wide = LIMIT.replace('"bracket"', f'"{"支" * 40}"').replace('"plate"', f'"{"p" * 40}"')
    assert routes(traveler, wide.replace(f'form = "{"p" * 40}"', 'form = "plate"')).status == 0
    out = routes(traveler, wide.replace(f'form = "{"p" * 40}"', 'form = "plate"')).out
    assert all(cell_len(line) <= 80 for line in out.splitlines())


def test_json_gives_what_a_program_needs(traveler: Commands) -> None:
    answer = routes(traveler, LIMIT, "--json")
    assert answer.status == 0
    found = answer.json
    assert found["job"] == "B-101"
    (joint,) = found["joints"]
    assert joint["joint"] == "J1"
    for route in joint["routes"]:
        assert route["satisfies"] is (route["fails"] == [])
        assert {"preheat_c", "interpass_max_c", "bake", "relief", "as_welded_hv", "after_relief_hv"} <= set(
            route
        )
        assert route["hours"][0] <= route["hours"][1]


def test_status_1_where_no_route_satisfies_every_limit(traveler: Commands) -> None:
    answer = routes(traveler, LIMIT.replace("350 HV", "250 HV"))
    assert (answer.status, answer.err) == (1, "")
    assert "no: hardness after relief" in answer.out


def test_one_joint_of_several(traveler: Commands) -> None:
    two = LIMIT + LIMIT[LIMIT.index("[[joint]]") :].replace('"J1"', '"J2"')
    assert [joint["joint"] for joint in routes(traveler, two, "--json").json["joints"]] == ["J1", "J2"]
    assert [joint["joint"] for joint in routes(traveler, two, "--json", "--joint", "J2").json["joints"]] == [
        "J2"
    ]


def test_a_joint_that_is_not_there_is_said(traveler: Commands) -> None:
    assert (
        refused(routes(traveler, LIMIT, "--joint", "J9")) == 'the sheet has no joint "J9"; expected one of J1'
    )


def test_a_bad_sheet_is_status_2(traveler: Commands) -> None:
    answer = routes(traveler, LIMIT.replace('"1/4 in"', '"0 in"', 1))
    assert answer.status == 2
    assert "joint[0].member[0].thickness" in answer.err


def test_a_missing_sheet_is_status_2(traveler: Commands, tmp_path: Path) -> None:
    assert "cannot be read" in refused(traveler("routes", tmp_path / "none.toml"))


@pytest.mark.slow
def test_ascii_where_it_is_asked_for_or_nothing_else_can_be_shown(traveler: Commands, tmp_path: Path) -> None:
    path = tmp_path / "sheet.toml"
    path.write_text(LIMIT, encoding="utf-8")
    for environment in (
        {"TRAVELER_ASCII": "1", "PYTHONIOENCODING": "utf-8"},
        {"PYTHONIOENCODING": "latin-1"},
    ):
        answer = traveler.process("routes", path, environment=environment)
        assert answer.status == 0
        assert answer.out.isascii()
        assert "# band" in answer.out
        assert "1 1 h" in answer.out
    drawn = traveler.process("routes", path, environment={"PYTHONIOENCODING": "utf-8"}).out
    assert "█ band" in drawn


@pytest.mark.parametrize(
    ("environ", "encoding", "expected"),
    [
        ({}, "utf-8", False),
        ({}, "UTF8", False),
        ({}, "cp437", True),
        ({}, None, True),
        ({}, "no such encoding", True),
        ({"TRAVELER_ASCII": "1"}, "utf-8", True),
        ({"TRAVELER_ASCII": "0"}, "utf-8", False),
    ],
)
def test_when_ascii_is_wanted(environ: dict[str, str], encoding: str | None, expected: bool) -> None:
    assert wants_ascii(environ, encoding) is expected


def test_what_somebody_typed_does_not_act_on_the_terminal(traveler: Commands) -> None:
    out = routes(traveler, LIMIT.replace('title = "Wishbone', 'title = "\\u202eWishbone')).out
    assert "\u202e" not in out
