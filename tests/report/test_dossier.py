"""The parts of the dossier: in their order, saying what the record says, with what is attached to it."""

import copy
import hashlib
import io
import json
import struct
import zlib
from fractions import Fraction
from importlib.resources import files
from pathlib import Path
from typing import Any

import pypdf
import pytest
import square_codes
from example import at, closed_job, open_job, reading, requirement, step

from traveler.library.load import load_library
from traveler.report import long_words
from traveler.report.code_square import code_text, square
from traveler.report.decided_words import stated_instrument_rows
from traveler.report.distortion import dimension_rows
from traveler.report.dossier import certificate_rows, rule_rows, statement
from traveler.report.packet import Attached
from traveler.report.part_life import NO_SERIAL, life_rows, life_words
from traveler.report.pdf import export_pdf
from traveler.report.photos import picture_form
from traveler.report.step_cautions import cautions_of
from traveler.report.thermal_record import thermal_rows
from traveler.report.weld_map import weld_map
from traveler.report.words import moment_words

RECORD = b'{"format": "traveler/1"}\n'


def png(width: int = 3, height: int = 2) -> bytes:
    """A grey picture made by hand (PNG, W3C 2003)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    rows = b"".join(b"\x00" + bytes([90] * width) for _ in range(height))
    parts = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + parts


def kept(name: str, content: bytes, role: str) -> tuple[dict[str, Any], Attached]:
    sha256 = hashlib.sha256(content).hexdigest()
    by = {"name": "Igor (invented)", "how": "stated"}
    entry = {"name": name, "as": role, "sha256": sha256, "size": len(content), "step": 20, "by": by}
    return entry | {"happened_at": at(1, 8), "recorded_at": at(1, 8)}, Attached(name, sha256, content)


def with_files(*files: tuple[dict[str, Any], Attached]) -> tuple[dict[str, Any], tuple[Attached, ...]]:
    job = closed_job()
    job["attachments"] = [entry for entry, _ in files]
    return job, tuple(file for _, file in files)


def reader(raw: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(raw))


def squeezed(raw: bytes) -> str:
    return "".join("".join(page.extract_text() for page in reader(raw).pages).split())


def measured(kind: str, number: int, readings: list[dict[str, Any]]) -> dict[str, Any]:
    asked = requirement(
        number,
        "dimension D1",
        unit="mm",
        why="hole to hole",
        readings=readings,
        shown={"at_least": None, "at_most": None, "limit": "111.5 mm to 112.5 mm"},
    )
    return step(number, kind, kind, [asked])


def sized(number: int, value: str, unit: str, **more: Any) -> dict[str, Any]:
    return reading(number, value, unit, f"{value} {unit}", "met", "Igor (invented)", at(9), **more)


def test_the_parts_stand_in_the_order_of_a_data_book() -> None:
    job = closed_job()
    job["steps"].append(measured("inspect", 60, [sized(40, "112.1", "mm")]))
    raw = export_pdf(job, "a4")
    titles = [entry.title for entry in reader(raw).outline if not isinstance(entry, list)]
    assert titles == [
        "Dossier of job H-014",
        "Exceptions, to be read first",
        "Traveler as run",
        "Weld map",
        "Thermal record",
        "Certificates of materials and fillers",
        "Instruments as they stood when they were used",
        "Dimensions before and after welding",
        "Attachments and photos",
        "Cautions",
        "Verification",
    ]
    pages = [page.extract_text() for page in reader(raw).pages]
    assert "Dossier of job H-014" in pages[0]
    assert "Exceptions, to be read first" in pages[1]
    assert closed_job()["exceptions"][0] in " ".join(pages[1].split())
    assert "Traveler as run" in pages[2]
    for title in titles[1:]:
        (sheet,) = [n for n, text in enumerate(pages, 1) if n > 1 and title in text.splitlines()]
        assert "".join(f"{title}sheet{sheet}".split()) in "".join(pages[0].split())


def test_an_instrument_that_is_only_named_says_that_its_calibration_is_not_on_record() -> None:
    job = closed_job()
    for entry in job["steps"]:
        for asked in entry["requirements"]:
            for read in asked["readings"]:
                read |= {"instrument": "probe [7]"} if asked["quantity"] == "preheat temperature" else {}
    rows = stated_instrument_rows(job)
    named = next(row for row in rows if row[0] == "probe [7]")
    preheats = [
        r["reading"]
        for s in job["steps"]
        for q in s["requirements"]
        for r in q["readings"]
        if q["quantity"] == "preheat temperature"
    ]
    assert named[2:4] == ["not in the register", "not on record"]
    assert named[5] == ", ".join(map(str, preheats))
    assert "probe[7]asstatednotintheregisternotonrecord" in squeezed(export_pdf(job, "letter"))


@pytest.mark.parametrize("job", [closed_job(), open_job()], ids=["closed", "open"])
def test_the_statement_counts_and_claims_nothing(job: dict[str, Any]) -> None:
    words = " ".join(statement(job))
    accepted = sum(1 for entry in job["steps"] if entry["state"] == "accepted")
    assert f"Of its 3 steps (fit, preheat, weld) {accepted} stand accepted" in words
    assert ("The job is not closed." in words) == (job["closed"] is None)
    for claim in (" conform", "in accordance", "certif", "complies with"):
        assert claim not in words.lower()
    assert "nothing here claims compliance" in words


def test_each_method_that_sets_a_limit_is_a_rule_with_its_mark_and_steps() -> None:
    rows = {row[0]: row[1:] for row in rule_rows(closed_job())}
    assert rows["grade table 4130"] == ["[common practice, no published source]", "40, 50"]
    assert "EN 1011-2 method B" not in rows  # below 10 mm it is shown and does not govern


def test_the_weld_map_names_heats_welder_lot_and_temperature_of_each_run() -> None:
    job = closed_job()
    welder = requirement(50, "welder", type="text", unit=None, joint="J1")
    welder["readings"] = [
        reading(9, "Ada (invented)", None, "Ada (invented)", "met", "x", at(1)),
        # Named behind runs 1 and 2, which are readings 10 to 13: for those after it.
        reading(14, "Bo (invented)", None, "Bo (invented)", "met", "x", at(1)),
    ]
    job["steps"][2]["requirements"].append(welder)
    lot = requirement(50, "filler lot", type="text", unit=None, joint="J1")
    corrected = {"superseded": True, "superseded_by": 20}
    lot["readings"] = [
        reading(9, "L-1", None, "L-1", "met", "x", at(1), **corrected),
        reading(20, "L-2", None, "L-2", "met", "x", at(1)),
    ]
    job["steps"][2]["requirements"].append(lot)
    (joint,) = weld_map(job)
    facts = [" ".join(fact) for fact in joint["facts"]]
    assert any("4130, annealed, heat A7731; read on the metal: A7731" in fact for fact in facts)
    assert any("S355J2, as rolled, heat not stated; not read on the metal" in fact for fact in facts)
    assert "Attempts, repairs preheat temperature of step 40: 2 attempts" in facts
    assert [row[0] for row in joint["runs"]] == ["1", "2", "3"]
    energies = {
        entry["run"]: entry["reading"]
        for need in job["steps"][2]["requirements"]
        if need["quantity"] == "arc energy"
        for entry in need["readings"]
    }
    for row in joint["runs"]:
        late = energies[int(row[0])] > 14
        assert row[1] == ("Bo (invented)" if late else "Ada (invented)")
        assert row[2] == "L-2"  # the correction stands where the wrong entry stood
        assert row[3] == "1.15 kJ/mm (29.2 kJ/in)"


def test_a_superseded_result_is_no_result_in_the_weld_map() -> None:
    job = closed_job()
    test = requirement(60, "crack test", type="choice", unit=None, joint="J1")
    test["readings"] = [
        reading(
            30, "indications", None, "indications", "not met", "x", at(1), superseded=True, superseded_by=31
        ),
        reading(31, "no relevant indications", None, "no relevant indications", "met", "x", at(2)),
    ]
    job["steps"].append(step(60, "inspect", "Inspect", [test]))
    tests = [words for name, words in weld_map(job)[0]["facts"] if name == "Test"]
    assert tests == ["crack test: no relevant indications, met, reading 31 of step 60"]


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        # 25.4 mm an inch, exactly (NIST SP 811).
        (("1.381", "in"), ("1.384", "in"), "+0.003 in (0.1 mm)"),
        (("112.4", "mm"), ("112.1", "mm"), "-0.3 mm (-0.012 in)"),
        (("25.4", "mm"), ("1", "in"), "0 in (0.0 mm)"),
        (("1-1/4", "in"), ("1.3", "in"), "+0.05 in (1.3 mm)"),
        (None, ("112.1", "mm"), "not shown"),
        (("112.1", "mm"), None, "not shown"),
    ],
)
def test_distortion_is_the_later_size_less_the_earlier(
    before: tuple[str, str] | None, after: tuple[str, str] | None, said: str
) -> None:
    job = closed_job()
    job["steps"] = [
        measured("fit", 20, [sized(1, *before)] if before else []),
        measured(
            "inspect", 60, [sized(2, "1", "ft", superseded=True), *([sized(3, *after)] if after else [])]
        ),
    ]
    (row,) = dimension_rows(job)
    assert row[:2] == ["D1: hole to hole", "111.5 mm to 112.5 mm"]
    assert row[4] == said
    assert (row[2] == "not measured") == (before is None)


def test_the_thermal_record_has_the_least_and_the_greatest_that_stand() -> None:
    job = closed_job()
    job["steps"][1]["requirements"][0]["readings"] = [
        reading(1, "20", "degC", "20 °C", "not met", "x", at(1), superseded=True),
        reading(2, "300", "degF", "300 °F", "met", "x", at(1)),
        reading(3, "149", "degC", "149 °C", "met", "x", at(1)),  # 300.2 °F
        reading(4, "310", "degF", "310 °F", "met", "x", at(1)),
    ]
    (row,) = [row for row in thermal_rows(job) if row[0] == "40"]
    assert row[3:6] == ["3", "300 °F, reading 2", "310 °F, reading 4"]
    assert not any("heat number" in row[1] or "arc energy" in row[1] for row in thermal_rows(job))


def test_the_record_and_the_files_are_in_the_pdf_with_the_digests_that_it_prints() -> None:
    job, carried = with_files(
        kept("mill certificate.pdf", b"%PDF invented", "certificate"), kept("../a|b.txt", b"x", "certificate")
    )
    raw = export_pdf(job, "a4", RECORD, carried)
    found = {name: contents[0] for name, contents in reader(raw).attachments.items()}
    assert found == {
        "traveler.json": RECORD,
        "1-mill certificate.pdf": b"%PDF invented",
        "2-___a_b.txt": b"x",
    }
    printed = squeezed(raw)
    for content in found.values():
        assert hashlib.sha256(content).hexdigest() in printed
    assert "inthisPDFas1-millcertificate.pdf" in printed
    specs = reader(raw).trailer["/Root"]["/AF"]
    relations = {spec.get_object()["/UF"]: spec.get_object()["/AFRelationship"] for spec in specs}
    assert relations["traveler.json"] == "/Source"
    assert b"<pdfaid:part>3</pdfaid:part>" in raw
    assert b"<pdfaid:conformance>A</pdfaid:conformance>" in raw
    assert b"<pdfuaid:part>1</pdfuaid:part>" in raw
    assert export_pdf(job, "a4", RECORD, carried) == raw


def test_a_file_that_is_not_in_the_pdf_says_so() -> None:
    job, _ = with_files(kept("mill certificate.pdf", b"%PDF invented", "certificate"))
    (row,) = [row for row in certificate_rows(job, {}) if row[0].startswith("attached")]
    assert row[3] == "mill certificate.pdf: not in this PDF; a packet of the job has it"


def drawn(raw: bytes) -> int:
    return sum(len(page.images) for page in reader(raw).pages)


@pytest.mark.slow
def test_photos_are_drawn_where_they_are_pictures_and_listed_in_any_case() -> None:
    good, broken, other = (
        kept("edge.png", png(), "photo"),
        kept("broken.png", png()[:45], "photo"),
        kept("note.png", b"no picture", "photo"),
    )
    job, carried = with_files(good, broken, other)
    raw = export_pdf(job, "a4", RECORD, carried)
    assert drawn(raw) == 1
    printed = squeezed(raw)
    for entry, _ in (good, broken, other):
        assert entry["name"] in printed
    assert drawn(export_pdf(with_files(other)[0], "a4", RECORD, (other[1],))) == 0


@pytest.mark.parametrize(
    ("content", "form"),
    [
        (png(), "png"),
        (b"\xff\xd8\xff\xe0\x00\x04ab\xff\xc0\x00\x11\x08\x00\x10\x00\x20\x03", "jpg"),
        (b"\xff\xd8\xff\xc4\x00\x08abcdef\xff\xc2\x00\x11\x08\x00\x10\x00\x20\x03", "jpg"),
        (png(5000, 1)[:16] + struct.pack(">II", 5000, 5000), None),  # 25 million pixels
        (b"\x89PNG\r\n\x1a\n", None),
        (b"\xff\xd8\xff\xe0\xff\xff", None),
        (b"\xff\xd8\xff", None),
        (png() + bytes(3 << 20), None),
        (b"GIF89a", None),
        (b"", None),
    ],
)
def test_what_can_be_drawn(content: bytes, form: str | None) -> None:
    assert picture_form(content) == form


def test_cautions_stand_with_the_steps_they_belong_to_and_in_the_list() -> None:
    said = load_library().cautions
    job = closed_job()
    job["cautions"] = [*said.values(), "J1: the window between runs is narrow", "J10: another joint"]
    by_kind = {entry["kind"]: cautions_of(job, entry) for entry in job["steps"]}
    assert said["fume"] in by_kind["weld"]
    assert said["fume"] not in by_kind["preheat"]
    assert said["hot metal"] in by_kind["preheat"]
    assert said["general"] not in [text for words in by_kind.values() for text in words]
    assert "J1: the window between runs is narrow" in by_kind["weld"]
    assert "J10: another joint" not in by_kind["weld"]
    printed = squeezed(export_pdf(job, "a4"))
    assert printed.count("".join(said["coatings"].split())) == 1 + sum(
        said["coatings"] in words for words in by_kind.values()
    )


@pytest.mark.parametrize("events", [1, 31, 99_999])
def test_the_square_code_says_what_verify_takes(events: int) -> None:
    job = closed_job() | {"events": events}
    text = code_text(job)
    assert text == f"K3QF-7ZPA-M2XD-V5RT, {events} event{'' if events == 1 else 's'}"
    assert square_codes.read_modules(square(text)) == text


@pytest.mark.skipif(square_codes.RASTER is None, reason="pdftoppm is not here to draw a sheet")
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_square_code_is_read_off_the_last_sheet(paper: Any, tmp_path: Path) -> None:
    raw = export_pdf(closed_job(), paper)
    assert square_codes.read_sheet(raw, len(reader(raw).pages), tmp_path) == code_text(closed_job())


def advances(name: str) -> dict[str, Fraction]:
    """Advance of each sign up to U+04FF in parts of the size, out of a TrueType font (Apple, TrueType reference)."""
    raw = (files("traveler.report") / "data" / "fonts" / name).read_bytes()
    tables = {}
    for row in range(12, 12 + 16 * struct.unpack_from(">H", raw, 4)[0], 16):
        tag, _, offset, _ = struct.unpack_from(">4sIII", raw, row)
        tables[tag] = offset
    size = struct.unpack_from(">H", raw, tables[b"head"] + 18)[0]
    metrics = struct.unpack_from(">H", raw, tables[b"hhea"] + 34)[0]
    glyphs = _glyphs(raw, tables[b"cmap"])
    width_at = {glyph: tables[b"hmtx"] + 4 * min(glyph, metrics - 1) for glyph in glyphs.values()}
    return {
        char: Fraction(struct.unpack_from(">H", raw, width_at[glyph])[0], size)
        for char, glyph in glyphs.items()
    }


def _glyphs(raw: bytes, cmap: int) -> dict[str, int]:
    for row in range(cmap + 4, cmap + 4 + 8 * struct.unpack_from(">H", raw, cmap + 2)[0], 8):
        start = cmap + struct.unpack_from(">HHI", raw, row)[2]
        if struct.unpack_from(">H", raw, start)[0] == 4:
            break
    count = struct.unpack_from(">H", raw, start + 6)[0] // 2
    ends, starts, deltas, offsets = (start + 14 + part * 2 * count + (2 if part else 0) for part in range(4))
    found = {}
    for segment in range(count):
        first = struct.unpack_from(">H", raw, starts + 2 * segment)[0]
        last = struct.unpack_from(">H", raw, ends + 2 * segment)[0]
        delta = struct.unpack_from(">H", raw, deltas + 2 * segment)[0]
        offset_at = offsets + 2 * segment
        offset = struct.unpack_from(">H", raw, offset_at)[0]
        for code in range(first, min(last, 0x4FF) + 1):
            glyph = (
                struct.unpack_from(">H", raw, offset_at + offset + 2 * (code - first))[0] if offset else code
            )
            if glyph:
                found[chr(code)] = (glyph + delta) % 65536
    return found


@pytest.mark.parametrize("name", ["DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf"])
def test_no_sign_is_wider_than_what_is_reckoned_for_it(name: str) -> None:
    """So a word that is not looked at by the typesetter cannot be wider than the narrowest place."""
    widths = advances(name)
    assert len(widths) > 900
    too_wide = [char for char, width in widths.items() if width > Fraction(long_words._widest_em(char))]
    assert too_wide == []


def test_words_are_marked_once_and_only_where_they_need_it() -> None:
    content = {"a": ["plain words", "at most 300 °F", "W" * 30], "b": {"c": "1.2 kJ/mm of 1 1/2 in"}}
    glued = long_words.glued(copy.deepcopy(content))
    # A space that no line ends at (U+00A0, Unicode Standard Annex 14).
    assert glued["a"][1] == "at most 300\u00a0°F"
    assert glued["b"]["c"] == "1.2 kJ/mm of 1\u00a01/2 in"
    found = long_words.marked(glued)
    assert set(found) == {"W" * 30, "1.2 kJ/mm of 1\u00a01/2 in"}
    assert found["1.2 kJ/mm of 1\u00a01/2 in"] == [
        ["", "1.2 "],
        ["whole", "kJ/mm"],
        ["", " of "],
        ["whole", "1\u00a01/2"],
        ["", " in"],
    ]
    assert found["W" * 30] == [["long", "W" * 30]]
    assert json.loads(json.dumps(found)) == found


@pytest.mark.parametrize(
    "text", ["A" * 200, f"a digest {'0f' * 32} and more", "短" * 40, "short words only", ""]
)
def test_a_word_too_wide_is_broken_and_nothing_else_is_put_in(text: str) -> None:
    room_mm, size_pt = 60, 7.8
    said = long_words.broken(text, room_mm, size_pt)
    assert said.replace("\n", "") == text
    assert all(
        long_words.fits(line, room_mm, size_pt) for word in said.split(" ") for line in word.split("\n")
    )
    assert ("\n" in said) == any(not long_words.fits(word, room_mm, size_pt) for word in text.split(" "))


def test_names_of_files_keep_their_spaces() -> None:
    content = {
        "embedded": [{"name": "1-300 °F.csv"}],
        "photos": [{"name": "2-1 1/2.png"}],
        "title": "at 300 °F",
    }
    glued = long_words.glued(content)
    assert (glued["embedded"], glued["photos"]) == (content["embedded"], content["photos"])
    assert glued["title"] == "at 300\u00a0°F"


def part(**more: Any) -> dict[str, Any]:
    counters = [
        {"counter": "events", "used": "2 events", "limit": "6 events", "reached": False, "unknown": 0},
        {"counter": "hours", "used": "0", "limit": None, "reached": False, "unknown": 0},
        {"counter": "distance", "used": "40 km", "limit": "500 km", "reached": False, "unknown": 1},
    ]
    return {
        "serial": "RU-7",
        "design": "upright (invented)",
        "car": None,
        "state": "not shown",
        "why": ["1 use since 2026-03-14 did not say the distance"],
        "interval": "6 events, 500 km, 12 months",
        "due_on": "2027-03-14",
        "since_inspection": counters,
        "event": 41,
        "stands_on": "2026-05-02",
    } | more


def test_the_next_inspection_is_told_by_the_part_record_with_its_event() -> None:
    printed = squeezed(export_pdf(closed_job(), "a4", life=[part()]))
    for said in (
        "RU-7: by 2027-03-14; every 6 events, 500 km, 12 months, whichever comes first",
        "not shown, on no car; 1 use since 2026-03-14 did not say the distance",
        "2 events of 6 events; 40 km of 500 km, not said by 1 use",
        "By the shop's part record at event 41 of its own stream, as it stood on 2026-05-02.",
    ):
        assert "".join(said.split()) in printed
    assert life_rows([part(interval=None, due_on=None)])[0][2] == "no interval set"
    assert life_rows([part(due_on=None)])[0][2].startswith("no date; by its counters; every")


def test_a_closed_job_without_a_serial_says_so_and_an_open_one_says_nothing() -> None:
    assert life_words(closed_job(), []) == [NO_SERIAL]
    assert life_words(open_job(), []) == []
    assert life_words(closed_job(), None) == []


def test_the_statement_counts_the_verdicts_as_they_are() -> None:
    job = closed_job()
    job["steps"][0]["requirements"][0] |= {"verdict": "not met", "settled": "let stand by nonconformance 1"}
    verdicts = [need["verdict"] for entry in job["steps"] for need in entry["requirements"]]
    met = verdicts.count("met")
    assert f"Its {len(verdicts)} requirements: {met} met, " in " ".join(statement(job))
    assert "1 not met" in " ".join(statement(job))


def test_readings_of_an_earlier_attempt_are_not_the_least_of_the_last_one() -> None:
    job = closed_job()
    job["steps"][1]["requirements"][0] |= {
        "attempts": 2,
        "readings": [
            reading(1, "262", "degF", "262 °F", "not met", "x", at(1)),
            reading(2, "310", "degF", "310 °F", "met", "x", at(2), attempt=2),
        ],
    }
    (row,) = [row for row in thermal_rows(job) if row[0] == "40"]
    assert row[1].endswith(", attempt 2")
    assert row[3:6] == ["1", "310 °F, reading 2", "the same"]


def test_all_who_signed_together_are_named() -> None:
    job = closed_job()
    job["steps"][2]["performed"][0]["with"] = [{"name": "Bo Both (invented)", "how": "stated"}]
    name = job["steps"][2]["performed"][0]["by"]["name"]
    assert "".join(f"{name}, with Bo Both (invented)".split()) in squeezed(export_pdf(job, "a4"))


def with_readings_of(job: dict[str, Any], count: int) -> list[int]:
    """As many readings more of one thermometer, and their numbers."""
    need = job["steps"][1]["requirements"][0]
    (model, *_) = need["readings"]
    numbers = list(range(1001, 1001 + count))
    need["readings"] += [model | {"reading": number, "instrument": "thermometer CT-9"} for number in numbers]
    return numbers


def test_many_readings_of_an_instrument_stand_below_the_table_and_none_is_lost() -> None:
    job = closed_job()
    numbers = with_readings_of(job, 400)
    printed = squeezed(export_pdf(job, "a4"))
    assert "listedbelow" in printed
    assert f"thermometerCT-9,readings{','.join(map(str, numbers))}" in printed


def test_few_readings_of_an_instrument_stand_in_its_row() -> None:
    job = closed_job()
    with_readings_of(job, 8)
    printed = squeezed(export_pdf(job, "a4"))
    assert "listedbelow" not in printed
    assert "1001,1002,1003,1004,1005,1006,1007,1008" in printed


def test_the_facts_of_a_reading_are_not_broken_where_a_line_ends() -> None:
    job = closed_job()
    entry = job["steps"][1]["requirements"][0]["readings"][0]
    entry |= {"place": "front side, beside the root, 45 mm from the edge of the web", "instrument": "CT-9"}
    lines = [
        line for page in reader(export_pdf(job, "a4")).pages for line in page.extract_text().splitlines()
    ]
    (at_place,) = [at for at, line in enumerate(lines) if "45 mm from the edge of the web" in line]
    assert moment_words(entry) in lines[at_place + 1]
    assert lines[at_place].rstrip().endswith(";")


def test_a_place_that_is_longer_than_a_line_is_printed_whole() -> None:
    job = closed_job()
    place = "beside the root of the weld " * 12
    job["steps"][1]["requirements"][0]["readings"][0]["place"] = place
    assert "".join(place.split()) in squeezed(export_pdf(job, "a4"))
