"""``person`` and ``setting``: the register by commands."""

import os
import sqlite3

import pytest
from cli_kit import Commands, refused
from person_cli_kit import (
    CHEAP,
    INES,
    LATELY,
    LONG_AGO,
    OLGA,
    WIM,
    code_in,
    content_of,
    issued_by_olga,
    lines,
    people,
    with_secrets,
)

from traveler.cli.person import ROLES
from traveler.job.person import ROLES as REGISTER_ROLES
from traveler.job.qualification import months_later
from traveler.record import secrets


@pytest.fixture(autouse=True)
def cheap(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(secrets, "USUAL", CHEAP)


def flat(text: str) -> str:
    """Without the breaks between lines."""
    return " ".join(text.split())


def test_the_command_offers_the_roles_of_the_register() -> None:
    assert ROLES == REGISTER_ROLES


def test_the_first_person_makes_the_shop_and_gets_a_code_once(traveler: Commands) -> None:
    code = people(traveler)
    assert traveler.shop.exists()
    assert oct(traveler.shop.stat().st_mode)[-3:] == "600"
    listed = traveler("person", "list")
    lapsed = (
        f"process 141: not now: 141 was last used on {LONG_AGO}: it lapsed after {months_later(LONG_AGO, 6)}; "
        "a test piece makes it alive again"
    )
    good = f"process 141: good until {months_later(LATELY, 6)}"
    assert flat(listed.out) == (
        f"P1 Olga Vance: owner, inspector {lapsed} P2 Wim Two: welder {good} P3 Ines Okafor: inspector {good}"
    )
    told = traveler("person", "show", "olga vance", "--json").json
    assert (told["person"], told["secret"], told["recovery_code"]) == ("P1", True, True)
    everything = listed.out + traveler("person", "show", "P1").out + str(told)
    assert code not in everything
    assert code.encode() not in traveler.shop.read_bytes()


def test_bad_input_makes_no_shop(traveler: Commands) -> None:
    for arguments, given, message in (
        (("Olga", "--process", "141"), (OLGA,), '--process: "141" is no process with its day'),
        (("Olga", "--process", "7=2026-01-01"), (OLGA,), '"7" is no welding process'),
        (("  ",), (OLGA,), "the person's name is missing"),
        (("Olga",), ("123456",), "this secret is one of the first that anybody tries"),
        (("Olga",), (), "has no further line; expected one line a secret"),
    ):
        answer = with_secrets(traveler, "person", "add", *arguments, given=given)
        assert message in refused(answer)
    assert not traveler.shop.exists()


def test_without_anybody_to_ask_the_first_is_registered_without_a_secret(traveler: Commands) -> None:
    answer = traveler("person", "add", "Olga Vance")
    assert answer.status == 0
    assert "no secret yet; to set one: traveler person secret P1" in answer.out
    assert code_in(answer.out)
    assert "no secret yet" in traveler("person", "list").out
    assert traveler("person", "add", "Wim Two", "--role", "welder", "--by", "P1").status == 0
    assert with_secrets(traveler, "person", "secret", "P1", given=(OLGA,)).status == 0
    needed = refused(traveler("person", "add", "Ines Okafor", "--role", "inspector", "--by", "P1"))
    assert needed == "a secret is needed and there is no terminal to ask it on; hand it over with --secret-fd"


def test_a_person_added_without_a_secret_gets_one_by_a_reset(traveler: Commands) -> None:
    people(traveler)
    added = with_secrets(
        traveler, "person", "add", "Eva Lindqvist", "--role", "engineer", "--no-secret", "--by", "P1",
        given=(OLGA,),
    )  # fmt: skip
    assert added.out.splitlines()[-1] == "no secret yet; to set one: traveler person reset P4"
    own = with_secrets(traveler, "person", "secret", "P4", given=("knows metal 3",))
    assert (own.status, own.out.splitlines()[1].strip()) == (
        1,
        "Eva Lindqvist has no secret yet; Olga Vance (P1) may set one with them (reset)",
    )
    reset = ("person", "reset", "Eva Lindqvist", "--because", "her first day", "--by")
    assert with_secrets(traveler, *reset, "P2", given=(WIM, "knows metal 3")).status == 1
    assert with_secrets(traveler, *reset, "P1", given=(OLGA, "knows metal 3")).status == 0
    history = flat(traveler("person", "show", "P4").out)
    assert "Olga Vance (P1, signed): secret set (reset): her first day" in history


def test_changing_people(traveler: Commands) -> None:
    people(traveler)
    because = ("--because", "married", "--by", "P1")
    steps = (
        ("rename", "P2", "Wim Vance"),
        ("roles", "P2", "--role", "inspector", "--role", "welder"),
        ("disable", "P2"),
        ("enable", "Wim Vance"),
    )
    answers = [with_secrets(traveler, "person", *step, *because, given=(OLGA,)) for step in steps]
    assert [answer.out.strip() for answer in answers] == [
        "P2 Wim Two is Wim Vance now, welder",
        "P2 Wim Vance is Wim Vance now, welder, inspector",
        "P2 Wim Vance is disabled",
        "P2 Wim Vance is enabled",
    ]
    assert [answer.status for answer in answers] == [0] * 4
    shown = ("person", "process", "P2", "141", "--on", LATELY, "--shown-by", "test piece 12", "--by", "P3")
    assert with_secrets(traveler, *shown, given=(INES,)).status == 0
    only = with_secrets(traveler, "person", "disable", "P1", "--because", "x", "--by", "P1", given=(OLGA,))
    assert (only.status, only.out) == (
        1,
        "P1 Olga Vance stays as they are\n  Olga Vance is the only owner; make somebody else an owner first\n",
    )
    told = traveler("person", "show", "P2", "--json").json
    assert [entry["what"] for entry in told["history"]] == [
        "registered",
        "secret set (reset)",
        "name changed from Wim Two to Wim Vance",
        "roles changed from welder to welder, inspector",
        "disabled",
        "enabled again",
    ]
    assert told["former_names"] == ["Wim Two"]
    assert told["shown"][-1] == {"process": "141", "on": str(LATELY), "shown_by": "test piece 12"}
    assert 'there is no person "Nobody"' in refused(traveler("person", "show", "Nobody"))


def test_recovery_by_the_printed_code(traveler: Commands) -> None:
    code = people(traveler)
    spoken = code.lower().replace("-", " ")
    wrong = with_secrets(traveler, "person", "recover", "P1", given=("AAAA-AAAA-AAAA-AAAA", "new beam 7"))
    assert (wrong.status, "wrong recovery code for Olga Vance" in wrong.out) == (1, True)
    done = with_secrets(traveler, "person", "recover", "P1", given=(spoken, "new beam 7"))
    assert done.status == 0
    assert code_in(done.out) != code
    used = with_secrets(traveler, "person", "recover", "P1", given=(code, "newer beam 7"))
    assert used.status == 1
    own = with_secrets(traveler, "person", "secret", "P1", "--new-code", given=("new beam 7", "newer beam 7"))
    assert code_in(own.out)
    assert traveler.process("verify", traveler.shop).status == 0


def test_settings(traveler: Commands) -> None:
    assert "does not exist" in refused(traveler("setting", "list"))
    people(traveler)
    assert with_secrets(traveler, "setting", "set", "Paper", "Letter", "--by", "P1", given=(OLGA,)).out == (
        "paper is letter now\n"
    )
    refused_ = with_secrets(traveler, "setting", "set", "paper", "a4", "--by", "P2", given=(WIM,))
    assert (refused_.status, refused_.out.splitlines()[1].strip()) == (
        1,
        "Wim Two is registered as welder; changing a setting takes owner",
    )
    assert "is no setting" in refused(traveler("setting", "set", "colour", "blue"))
    assert traveler("setting", "list").out.splitlines()[2] == "paper: letter"
    shown = traveler("setting", "show", "PAPER", "--json").json
    assert (shown["setting"], shown["value"], [entry["what"] for entry in shown["history"]]) == (
        "paper",
        "letter",
        ["set to letter"],
    )
    assert shown["history"][0]["by"]["person"] == "P1"
    assert traveler("setting", "show", "zone").out == "zone: not set\n"
    assert "is no setting" in refused(traveler("setting", "show", "colour"))
    assert traveler("setting", "list", "--json").json == {
        "shop name": None, "zone": None, "paper": "letter", "decision rule": None, "idle lock": None,
        "backup reminder": None,
    }  # fmt: skip


@pytest.mark.slow
def test_the_shops_paper_is_the_default_of_the_pdf(issued: Commands, tmp_path: os.PathLike[str]) -> None:
    from pypdf import PdfReader

    widths = []
    for paper in (None, "a4", "letter"):
        if paper:
            assert issued("setting", "set", "paper", paper).status == 0
        target = os.path.join(tmp_path, f"{paper}.pdf")
        assert issued("export", "B-101", "--format", "pdf", "-o", target).status == 0
        widths.append(round(float(PdfReader(target).pages[0].mediabox.width)))
    assert widths == [612, 595, 612]  # 8.5 in by default for a job in inches; 210 mm; 8.5 in


def test_names_and_reasons_act_on_no_terminal(traveler: Commands) -> None:
    people(traveler)
    answer = with_secrets(
        traveler, "person", "disable", "P2", "--because", "left \u202e then", "--by", "P1", given=(OLGA,)
    )
    assert answer.status == 0
    assert "left \\u202e then" in flat(traveler("person", "show", "P2").out)


# --- Signing by script, as docs/commands.md and other programs do it -----------------------------------------------


def test_signing_by_script_from_end_to_end(traveler: Commands, sheet: os.PathLike[str]) -> None:
    people(traveler)
    without = refused(traveler("new", sheet, "--by", "P1"))
    assert without.startswith("a secret is needed and there is no terminal")
    issued_by_olga(traveler, sheet)
    first = traveler("show", "B-101", "--json").json["steps"][0]
    for requirement in first["requirements"]:
        answer = traveler(
            "record", "B-101", 10, requirement["quantity"], requirement["accepts"][0], "--by", "P2"
        )
        assert answer.status == 0, answer
    content = content_of(traveler, 10)
    sign = ("sign", "B-101", 10, "--as")
    performed = with_secrets(
        traveler, *sign, "performed", "--content", content, "--by", "wim two", given=(WIM,)
    )
    assert (performed.status, performed.out) == (0, "step 10 signed as performed by Wim Two\n")
    stale = with_secrets(traveler, *sign, "accepted", "--content", content, "--by", "P3", given=(INES,))
    assert (stale.status, stale.out.splitlines()[1].strip()[:6]) == (1, "stale:")
    content = content_of(traveler, 10)
    own = with_secrets(traveler, *sign, "accepted", "--content", content, "--by", "P2", given=(WIM,))
    assert (own.status, "another person must accept it" in own.out) == (1, True)
    accepted = with_secrets(traveler, *sign, "accepted", "--content", content, "--by", "P3", given=(INES,))
    assert (accepted.status, accepted.out) == (0, "step 10 accepted by Ines Okafor\n")
    told = traveler("show", "B-101", "--json").json["steps"][0]
    assert told["accepted"]["by"] == {
        "name": "Ines Okafor",
        "how": "signed",
        "person": "P3",
        "roles": ["inspector"],
    }
    assert told["state"] == "accepted"
    assert [entry["reason"][:6] for entry in traveler("person", "show", "P3", "--json").json["refused"]] == [
        "stale:"
    ]


def test_what_a_signing_script_must_give(traveler: Commands, sheet: os.PathLike[str]) -> None:
    people(traveler)
    issued_by_olga(traveler, sheet)
    sign = ("sign", "B-101", 10, "--as", "performed", "--by", "P2")
    assert "no terminal" in refused(traveler(*sign))
    assert "give the content of show --json with --content" in refused(
        with_secrets(traveler, *sign, given=(WIM,))
    )
    content = ("--content", content_of(traveler, 10))
    assert "descriptor 99 cannot be read" in refused(traveler(*sign, *content, "--secret-fd", 99))
    assert "has no further line" in refused(with_secrets(traveler, *sign, *content, given=()))
    with lines("x" * 5000) as descriptor:
        assert "has no end" in refused(traveler(*sign, *content, "--secret-fd", descriptor))
    reader, writer = os.pipe()
    os.write(writer, b"\xff\xfe\n")
    os.close(writer)
    assert "it is not in UTF-8" in refused(traveler(*sign, *content, "--secret-fd", reader))
    os.close(reader)
    belongs = refused(traveler("sign", "B-101", 10, "--as", "accepted", "--with", "P3", "--by", "P1"))
    assert belongs == "--with belongs to the signature as performed; leave it out"


@pytest.mark.parametrize("text", ["beam 40x40", "Straße 試 7", " spaces at both ends ", "trailing\r"])
def test_a_line_is_taken_as_it_is_but_for_its_end(traveler: Commands, text: str) -> None:
    kept = text.removesuffix("\r")
    assert with_secrets(traveler, "person", "add", "Olga Vance", given=(text,)).status == (
        0 if len(kept) > 7 else 2
    )
    change = ("person", "secret", "P1")
    assert with_secrets(traveler, *change, given=(f"{kept}x", "beam 50x50")).status == 1
    assert with_secrets(traveler, *change, given=(kept, "beam 50x50")).status == 0


def test_only_the_line_is_read(traveler: Commands) -> None:
    people(traveler)
    with lines(OLGA, "for somebody else") as descriptor:
        command = ("setting", "set", "paper", "a4", "--by", "P1", "--secret-fd", descriptor)
        assert traveler(*command).status == 0
        assert os.read(descriptor, 100) == b"for somebody else\n"


def test_closing_cancelling_and_revising_take_the_secret(traveler: Commands, sheet: os.PathLike[str]) -> None:
    people(traveler)
    issued_by_olga(traveler, sheet)
    closed = with_secrets(traveler, "close", "B-101", "--by", "P3", given=(INES,))
    assert (closed.status, "step 10 cut is not accepted" in closed.out) == (1, True)
    head = traveler("show", "B-101", "--json").json["head"]
    revised = ("revise", "B-101", sheet, "--because", "typing error", "--by", "P1")
    assert "no terminal" in refused(traveler(*revised))
    assert with_secrets(traveler, *revised, "--head", head, given=(OLGA,)).status == 0
    cancelled = ("cancel", "B-101", "--because", "part lost", "--by", "P1")
    stale = with_secrets(traveler, *cancelled, "--head", head, given=(OLGA,))
    assert (stale.status, "stale:" in stale.out) == (1, True)
    assert with_secrets(traveler, *cancelled, given=(OLGA,)).out == "job B-101 is cancelled\n"
    revisions = traveler("show", "B-101", "--json").json["revisions"]
    assert [entry["by"]["how"] for entry in revisions] == ["signed", "signed"]


def test_a_release_that_is_refused_is_status_1(traveler: Commands, sheet: os.PathLike[str]) -> None:
    people(traveler)
    for by, given, words in (
        ("P2", WIM, "Wim Two is registered as welder; releasing a traveler takes engineer or owner"),
        ("P1", "not hers 123", "wrong secret for Olga Vance"),
    ):
        answer = with_secrets(traveler, "new", sheet, "--by", by, given=(given,))
        assert (answer.status, answer.out) == (1, "")
        assert answer.err == f"traveler: job B-101 is not released: {words}\n"
    assert traveler("list").out == "No jobs.\n"


def test_names_as_stated_is_said_where_nothing_was_signed(issued: Commands) -> None:
    answer = issued("sign", "B-101", 10, "--as", "performed")
    assert answer.out.splitlines()[-1] == "names as stated"


def test_a_shop_that_was_altered_does_not_sign(traveler: Commands, sheet: os.PathLike[str]) -> None:
    people(traveler)
    issued_by_olga(traveler, sheet)
    plain = sqlite3.connect(traveler.shop)
    plain.execute("UPDATE secret SET scheme = 'scrypt ln=1 r=1 p=1' WHERE person = 'P2'")
    plain.commit()
    plain.close()
    answer = with_secrets(
        traveler, "sign", "B-101", 10, "--as", "performed", "--content", content_of(traveler, 10), "--by", "P2",
        given=(WIM,),
    )  # fmt: skip
    assert (answer.status, "altered by other means; verify the file" in answer.out) == (1, True)
