"""The traveler as plain text: complete, readable without colour, harmless to a terminal."""

import unicodedata
from typing import Any

import pytest
from example import CODE, INSPECTOR, WELDER, closed_job, open_job, planned
from wcwidth import wcswidth

from traveler.report.text import list_text, plan_text, show_text, traveler_text

ESCAPE = "\x1b[31mred\x9b2J\u202eback\x07"


def flat(text: str) -> str:
    """Words of the text without its line breaks."""
    return " ".join(text.split())


def everything(job: dict[str, Any]) -> list[str]:
    """What a reader must find: limits, methods, readings with their reasons, names, times."""
    found = []
    for step in job["steps"]:
        found += [
            step["title"],
            *step["notes"],
            *(why for why in step["blocked_by"] if " not shown: " not in why),
        ]
        signed = [*step["performed"], *([step["accepted"]] if step["accepted"] else [])]
        found += [entry["happened_at"][11:19] for entry in signed] + [entry["by"]["name"] for entry in signed]
        for needed in step["requirements"]:
            found += [needed["quantity"], needed["shown"]["limit"], needed["why"], needed["verdict_reason"]]
            found += [entry["method"] for entry in needed["basis"]]
            found += [reason for entry in needed["basis"] for reason in entry["reasons"]]
            found += [entry["mark"] for entry in needed["basis"]]
            for reading in needed["readings"]:
                found += [
                    reading["shown"],
                    reading["reason"] or "",
                    reading["by"]["name"],
                    reading["place"] or "",
                ]
    return found


@pytest.mark.parametrize("job", [closed_job(), open_job()], ids=["closed", "open"])
def test_whole_traveler_is_in_the_text(job: dict[str, Any]) -> None:
    text = flat(traveler_text(job))
    for words in [
        *everything(job),
        *job["exceptions"],
        *job["cautions"],
        job["head"],
        f"{job['events']} events",
    ]:
        assert flat(words) in text
    assert "unchanged since this code was issued; not that an entry was true" in text


def test_draft_stands_in_the_head_until_closed() -> None:
    assert "DRAFT: not closed" in traveler_text(open_job()).splitlines()[0]
    assert "DRAFT" not in traveler_text(closed_job())
    assert "DRAFT: not closed, job cancelled" in traveler_text(open_job() | {"state": "cancelled"})


def test_exceptions_come_before_the_steps() -> None:
    text = traveler_text(closed_job())
    assert text.index("EXCEPTIONS") < text.index("MATERIALS") < text.index("STEP 20")


def test_superseded_reading_says_so_before_its_value_and_shows_no_verdict() -> None:
    text = flat(traveler_text(closed_job()))
    assert (
        "Reading 6 (superseded by reading 7: typing error, a nought too many): 3120 °F (1715.6 °C);" in text
    )
    assert "3120 °F (1715.6 °C); not met" not in text


def test_cold_reading_of_the_first_attempt_stays_what_it_was() -> None:
    assert "Reading 5: 262 °F (127.8 °C); not met; attempt 1" in flat(traveler_text(closed_job()))


def test_retracted_reading_and_fallen_acceptance_are_told_in_words() -> None:
    job = closed_job()
    job["steps"][1]["requirements"][0]["readings"][0] |= {"superseded": True, "reason": "wrong joint"}
    job["steps"][1]["accepted"]["stands"] = False
    text = flat(traveler_text(job))
    assert "Reading 5 (retracted: wrong joint)" in text
    assert "DOES NOT STAND" in text


def test_late_entry_shows_both_times() -> None:
    assert "10:16:05 +01:00 (written 10:58:05); late entry" in flat(traveler_text(closed_job()))


def test_no_word_claims_compliance() -> None:
    for text in (traveler_text(closed_job()), plan_text(planned())):
        assert text.count("compl") == 1
        assert "nothing here claims compliance" in flat(text)


@pytest.mark.parametrize("make", [traveler_text, show_text])
def test_control_characters_of_people_are_spelled_out(make: Any) -> None:
    job = open_job()
    job["title"] = ESCAPE
    job["steps"][0]["requirements"][0]["readings"][0] |= {"shown": ESCAPE, "place": "one\ntwo"}
    text = make(job)
    assert r"\x1b[31mred\x9b2J\u202eback\x07" in text
    assert r"one\ntwo" in text
    assert not [char for char in text.replace("\n", "") if unicodedata.category(char) in {"Cc", "Cf"}]


@pytest.mark.parametrize(
    "name", ["[A36] [/] #panic()", "Ł" * 200, "試験" * 60, "é" * 90, WELDER, "a b " * 50]
)
def test_every_line_fits_80_columns_and_names_stay_whole(name: str) -> None:
    job = closed_job()
    job["title"] = name
    job["steps"][1]["requirements"][0]["readings"][0]["by"]["name"] = name
    for text in (traveler_text(job), plan_text(planned() | {"title": name}), show_text(job)):
        assert max(wcswidth(line) for line in text.splitlines()) <= 80
        assert "".join(name.split()) in "".join(text.split())


def test_plan_names_the_governing_method_before_the_others() -> None:
    text = flat(plan_text(planned()))
    assert "preheat temperature: at least 300 °F (148.9 °C), at most 500 °F (260 °C)" in text
    governs = text.index("Governed by grade table 4130: at least 148.9 °C (300 °F) for plate")
    beside = text.index(
        "Beside it: EN 1011-2 method B: at least 104.5 °C (220 °F) for plate, extrapolated, so it does not govern"
    )
    assert governs < beside
    assert "(thickness 6.35 mm is below 10 mm) Source: EN 1011-2 C.3, 2001 [secondary]" in text
    assert "AWS D1.1 table 3.3 for rail, a cross-check, not applicable" in text
    assert "CONFLICTS, to be settled before the work Step 60: stress relief is called for" in text
    assert "Verdict" not in text.replace("Verdicts compare", "")


def test_strictest_answer_of_the_governing_method_is_the_one_that_governs() -> None:
    job = planned()
    needed = job["steps"][1]["requirements"][0]
    needed["basis"].insert(0, needed["basis"][0] | {"member": "rail", "value": 93.3})
    text = flat(plan_text(job))
    assert "Governed by grade table 4130: at least 148.9 °C (300 °F) for plate" in text
    assert "Beside it: grade table 4130: at least 93.3 °C (200 °F) for rail, asks for less" in text


def test_rule_without_a_number_shows_its_source_once() -> None:
    job = planned()
    needed = job["steps"][0]["requirements"][1]
    rule = job["steps"][1]["requirements"][0]["basis"][0]
    needed["basis"] = [
        rule | {"method": "metal dry", "bound": None, "value": None, "reasons": [needed["why"]]}
    ]
    text = flat(plan_text(job))
    assert "Why: moisture is hydrogen in the weld Source: [common practice, no published source]" in text


def test_undetermined_limit_is_not_an_empty_one() -> None:
    job = planned()
    job["steps"][1]["requirements"][0] |= {"undetermined": True, "shown": {"limit": ""}}
    assert "preheat temperature: not determined" in plan_text(job)


def test_limit_is_put_into_words_where_none_were_handed_in() -> None:
    job = planned()
    job["steps"][1]["requirements"][0].pop("shown")
    assert "preheat temperature: at least 148.9 °C, at most 260 °C" in flat(plan_text(job))


def test_show_tells_state_verdict_and_what_blocks() -> None:
    text = flat(show_text(open_job()))
    assert "JOB H-014, revision 2, in process. DRAFT: not closed." in text
    assert "State: in work, attempt 2 Blocked: not yet signed as performed" in text
    assert "Verdict: not shown: 2 readings needed, 1 taken" in text
    assert (
        text.count("2 readings needed, 1 taken") == 1
    )  # said beside the requirement, not once more above it
    assert "Verdict: not shown: 2 readings needed, 1 taken" in text
    assert f"Accepted: {INSPECTOR}, 2026-03-14 08:31:05 +01:00" in text


def test_list_has_a_line_a_job_and_what_blocks_it_below() -> None:
    rows = [
        {
            "number": "H-014",
            "title": "Bracket",
            "state": "in process",
            "step": 40,
            "blocked_by": ["too cold"],
        },
        {"number": "H-015", "title": "試験\x1b[2J", "state": "closed", "step": None, "blocked_by": ""},
    ]
    assert list_text(rows) == (
        "H-014       in process     step 40       Bracket\n"
        "            blocked: too cold\n"
        "H-015       closed         no open step  試験\\x1b[2J\n"
    )
    assert list_text([]) == "No jobs.\n"


def test_code_of_the_record_is_printed_as_handed_in() -> None:
    assert f"Record: {CODE}, 31 events" in traveler_text(closed_job())
