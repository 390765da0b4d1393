"""Whatever is handed in as a sheet: it is read, or refused in sentences. Nothing else comes out."""

from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from traveler.errors import BadInput, BadSheet
from traveler.job.sheet_reader import decode_sheet, read_sheet
from traveler.library.load import load_library

SHEETS = Path(__file__).parents[2] / "fixtures" / "sheets"
GOOD = [path.read_text(encoding="utf-8") for path in sorted(SHEETS.glob("*.toml"))]
KEYS = sorted({word for text in GOOD for word in text.replace("=", " ").split() if word.isidentifier()})

modest = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])

scalars = st.one_of(
    st.text(max_size=60).map(lambda text: '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'),
    st.integers().map(str),
    st.floats().map(str),
    st.decimals(allow_nan=False, allow_infinity=False).map(str),
    st.sampled_from(
        ["true", "nan", "-inf", "1e999999999", "0x" + "f" * 5000, "2024-02-29", "07:32:00", "{}", "[]"]
    ),
    st.sampled_from(['"1/4 in"', '"300 F"', '"0 mm"', '"12 V"', '"1.0 kJ/mm"', '"H5"', '"4130"', '"-1 in"']),
)
values = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
        st.dictionaries(st.sampled_from(KEYS), inner, max_size=3).map(
            lambda items: "{ " + ", ".join(f"{key} = {value}" for key, value in items.items()) + " }"
        ),
    ),
    max_leaves=5,
)


def read_or_refuse(text: str) -> None:
    faults: tuple[str, ...] = ()
    try:
        sheet = read_sheet(text, load_library())
    except BadSheet as refused:
        faults = refused.faults or ("refused without a fault\n",)
    assert all(fault and fault.isprintable() for fault in faults)
    if faults:
        return
    assert sheet.joints
    assert sheet.materials
    assert all(member.thickness.canonical > 0 for joint in sheet.joints for member in joint.members)
    assert all(joint.arc_energy.canonical > 0 for joint in sheet.joints)


@modest
@given(st.text())
def test_any_text(text: str) -> None:
    read_or_refuse(text)


@modest
@given(st.binary())
def test_any_bytes(raw: bytes) -> None:
    refusal = ""
    try:
        read_or_refuse(decode_sheet(raw))
    except BadInput as refused:
        refusal = str(refused)
    assert refusal.isprintable()


@modest
@given(st.sampled_from(GOOD), st.data())
def test_a_good_sheet_with_another_value(text: str, data: st.DataObject) -> None:
    lines = text.splitlines()
    settable = [
        index for index, line in enumerate(lines) if " = " in line and "[" not in line and "{" not in line
    ]
    index = data.draw(st.sampled_from(settable))
    lines[index] = lines[index].split(" = ")[0] + " = " + data.draw(values)
    read_or_refuse("\n".join(lines))


@modest
@given(st.sampled_from(GOOD), st.data())
def test_a_good_sheet_with_a_piece_cut_out_or_put_in(text: str, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 80)))
    read_or_refuse(text[:start] + data.draw(st.text(max_size=20)) + text[end:])


@modest
@given(st.dictionaries(st.sampled_from(["job", "material", "filler", "joint", "dimension", "step"]), values))
def test_tables_of_anything(tables: dict[str, str]) -> None:
    read_or_refuse("\n".join(f"{key} = {value}" for key, value in tables.items()))
