#!/usr/bin/env python3
"""Check a packet of a traveler, with nothing but Python (3.9 or newer) and its standard library.

    python3 -I verify.py                        the unpacked packet that this file lies in
    python3 -I verify.py PACKET.zip             the packet as it was sent
    python3 -I verify.py --code K3QF-...        the same, held against a code noted earlier (job or packet)

FORMAT.md beside this file says what is checked, and how to do it by hand. Status 0: everything fits together, and has
the code that was given; 1: something does not; 2: this is no packet. That it all fits together becomes evidence only by
a code that was noted somewhere else, on paper for instance: whoever alters a packet can compute all of it anew.
"""

from __future__ import annotations

import argparse
import base64
import hashlib
import json
import os
import re
import sys
import unicodedata
import zipfile
import zlib
from collections.abc import Iterator
from typing import Any

MANIFEST = "MANIFEST.sha256"
TRAVELER = "traveler.json"
EVENTS = "events.jsonl"
ATTACHMENTS = "attachments/"
KEYS = {"stream", "seq", "id", "kind", "happened_at", "recorded_at", "by", "act"}
MANIFEST_LINE = re.compile(r"([0-9a-f]{64})  (.+)")
LARGEST_BYTES = 1 << 30
"""A packet holds a job's files, not a disk: what unpacks to more is not read."""


class NoPacket(Exception):
    """What was given cannot be read as a packet."""


# --- the files -------------------------------------------------------------------------------------------------------


def files_of(place: str) -> dict[str, bytes]:
    """Name to content of every file of a packet, zipped or unpacked."""
    return _unpacked(place) if os.path.isdir(place) else _zipped(place)


def _unpacked(folder: str) -> dict[str, bytes]:
    found = {}
    for inside, folders, names in os.walk(folder):
        folders.sort()
        for name in sorted(names):
            path = os.path.join(inside, name)
            with open(path, "rb") as file:
                found[os.path.relpath(path, folder).replace(os.sep, "/")] = file.read()
    return found


def _zipped(path: str) -> dict[str, bytes]:
    try:
        with zipfile.ZipFile(path) as packet:
            entries = [entry for entry in packet.infolist() if not entry.is_dir()]
            if sum(entry.file_size for entry in entries) > LARGEST_BYTES:
                raise NoPacket(f"{path} unpacks to more than a packet may hold")
            names = [entry.filename for entry in entries]
            if len(set(names)) != len(names):
                raise NoPacket(f"{path} holds a file name twice")
            return {entry.filename: packet.read(entry) for entry in entries}
    except (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, ValueError) as error:
        raise NoPacket(f"{path} is no zip file, or a damaged one: {error}") from error


def manifest_faults(files: dict[str, bytes]) -> Iterator[str]:
    """Every file is listed with its own SHA-256, and nothing lies beside them."""
    listed = {}
    for number, line in enumerate(_text(files, MANIFEST).splitlines(), start=1):
        found = MANIFEST_LINE.fullmatch(line)
        if not found:
            yield f"{MANIFEST}, line {number}: expected a SHA-256, two spaces and a name"
        else:
            listed[found.group(2)] = found.group(1)
    for name, noted in sorted(listed.items()):
        if name not in files:
            yield f"{name} is listed in {MANIFEST} and missing"
        elif hashlib.sha256(files[name]).hexdigest() != noted:
            yield f"{name} was altered: it does not have the SHA-256 of {MANIFEST}"
    for name in sorted(set(files) - set(listed) - {MANIFEST}):
        yield f"{name} is not listed in {MANIFEST}"


# --- the events ------------------------------------------------------------------------------------------------------


def canonical(data: Any) -> str:
    """The one text of an event: sorted keys, no spaces, Unicode form NFC."""
    return json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def parsed(body: str) -> dict[str, Any] | None:
    """An event of its text; None where the text is not in the one form that events are written in."""
    try:
        data = json.loads(body, parse_float=_refused, parse_constant=_refused)
    except (ValueError, RecursionError):
        return None
    fits = isinstance(data, dict) and set(data) == KEYS and canonical(data) == body
    return data if fits and unicodedata.is_normalized("NFC", body) else None


def _refused(text: str) -> Any:
    raise ValueError(text)


def chain_faults(bodies: list[str], links: list[str], head: str) -> Iterator[str]:
    """Each event hashed onto the one before it, up to the code of the last."""
    if not bodies:
        yield "there are no events"
        return
    first = parsed(bodies[0])
    if first is None or not isinstance(first["act"], dict):
        yield "event 1 is altered: it is not in the form that events are written in"
        return
    stream = first["stream"]
    link = hashlib.sha256((str(first["act"].get("shop")) + stream).encode()).digest()
    for seq, body in enumerate(bodies, start=1):
        data = parsed(body)
        if data is None or data["stream"] != stream or data["seq"] != seq:
            yield f"event {seq} is altered: its text does not belong there"
            return
        link = hashlib.sha256(link + body.encode()).digest()
        if seq > len(links) or links[seq - 1] != link.hex():
            yield f"event {seq} is altered: from it on the chain does not fit"
            return
    if len(links) != len(bodies):
        yield f"there are {len(links)} links for {len(bodies)} events"
    if code_of(link) != head:
        yield f"the events give the code {code_of(link)}, the packet says {head}"


def code_of(digest: bytes) -> str:
    """The first 80 bits in base32, in fours."""
    letters = base64.b32encode(digest[:10]).decode()
    return "-".join(letters[at : at + 4] for at in range(0, len(letters), 4))


def with_history(events: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """The events behind those that came along by a split; ValueError where these do not give the code noted then."""
    split = events[0]["act"].get("split_from")
    if split:
        link = hashlib.sha256((str(events[0]["act"].get("shop")) + "job " + split["job"]).encode()).digest()
        for event in split["history"]:
            link = hashlib.sha256(link + canonical(event).encode()).digest()
        if code_of(link) != split["code"]:
            raise ValueError("the history of job {} gives another code".format(split["job"]))
        yield from with_history(split["history"])
    yield from events


def attachment_faults(files: dict[str, bytes], events: list[dict[str, Any]]) -> Iterator[str]:
    """Every file that an event names is there under its SHA-256, and no other."""
    named: dict[str, int] = {}
    for event in events:
        for name in attachments_in(event["act"]):
            named.setdefault(name, event["seq"])
    there = {}
    for name in files:
        if name.startswith(ATTACHMENTS):
            there[name[len(ATTACHMENTS) :].split("/")[0]] = name
    for sha256, seq in sorted(named.items()):
        if sha256 not in there:
            yield f"the file that event {seq} names is missing: {ATTACHMENTS}{sha256}/"
        elif hashlib.sha256(files[there[sha256]]).hexdigest() != sha256:
            yield f"{there[sha256]} is not the file that event {seq} names"
    for sha256 in sorted(set(there) - set(named)):
        yield f"{there[sha256]} is named by no event"


def attachments_in(value: Any) -> Iterator[str]:
    """Every SHA-256 that stands beside a size, at any depth."""
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    if isinstance(value, dict) and isinstance(value.get("sha256"), str) and "size" in value:
        yield value["sha256"]
    for item in inner:
        yield from attachments_in(item)


# --- what is printed, against the events -----------------------------------------------------------------------------


def printed_faults(traveler: dict[str, Any], events: list[dict[str, Any]]) -> Iterator[str]:
    """Job, limits, readings and signatures as printed are those of the events."""
    plans = [e["act"] for e in events if e["kind"] in ("traveler issued", "traveler revised")]
    plan = plans[-1]["plan"]
    expected = {
        "job": events[0]["stream"][len("job ") :],
        "events": len(events),
        "revision": plans[-1]["revision"],
        "as_of": events[-1]["recorded_at"],
        "title": plan["title"],
        "part": plan["part"],
        "units": plan["units"],
        "decides": plan["decides"],
    }
    for key, value in expected.items():
        yield from _differs(traveler.get(key), value, key)
    yield from _limit_faults(traveler, plan)
    yield from _reading_faults(traveler, list(with_history(events)))
    yield from _signature_faults(traveler, list(with_history(events)))


def _limit_faults(traveler: dict[str, Any], plan: dict[str, Any]) -> Iterator[str]:
    printed = {}
    for step in traveler["steps"]:
        for requirement in step["requirements"]:
            printed[step["number"], requirement["quantity"], requirement["joint"]] = requirement
    for step in plan["steps"]:
        for planned in step["requirements"]:
            place = "step {}, {}".format(step["number"], planned["quantity"])
            requirement = printed.pop((step["number"], planned["quantity"], planned["joint"]), None)
            if requirement is None:
                yield f"{place}: the limit of the plan is not printed"
                continue
            for bound in ("at_least", "at_most"):
                limit = requirement["limit"][bound]
                # A limit that an approved disposition changed is printed with the reason; the program re-works it.
                if not requirement.get("settled"):
                    yield from _differs(limit, planned[bound], f"{place}, {bound}")
            for key in ("type", "options", "why", "evidence", "would_change"):
                yield from _differs(requirement.get(key), planned[key], f"{place}, {key}")
    for number, quantity, _ in printed:
        yield f"step {number}, {quantity}: printed, and not in the plan"


def _reading_faults(traveler: dict[str, Any], events: list[dict[str, Any]]) -> Iterator[str]:
    taken = dict(_readings_of(events))
    for step in traveler["steps"]:
        for requirement in step["requirements"]:
            for printed in requirement["readings"]:
                number = printed["reading"]
                if number not in taken:
                    yield f"reading {number} is printed more than once, or by no event"
                    continue
                reading, event = taken.pop(number)
                keys = ("value", "unit", "place", "instrument", "typed", "run", "attempt")
                expected = {key: reading[key] for key in keys}
                expected["recorded_at"] = event["recorded_at"]
                expected["by"] = event["by"]
                for key, value in expected.items():
                    yield from _differs(printed.get(key), value, f"reading {number}, {key}")
                if (reading["step"], reading["quantity"]) != (step["number"], requirement["quantity"]):
                    yield f"reading {number} stands at {requirement['quantity']} of step {step['number']}"
    steps = {step["number"] for step in traveler["steps"]}
    for number, (reading, _) in sorted(taken.items()):
        if reading["step"] in steps:
            yield f"reading {number} is not printed"


def _readings_of(events: list[dict[str, Any]]) -> Iterator[tuple[int, tuple[Any, Any]]]:
    for event in events:
        act = event["act"]
        if event["kind"] == "reading recorded":
            yield act["reading"], (act, event)
        elif event["kind"] == "reading superseded" and act["correction"]:
            correction = dict(act["correction"])
            correction.setdefault("step", None)
            yield correction["reading"], (correction, event)
        elif event["kind"] == "chart recorded":
            for reading in act["readings"]:
                yield reading["reading"], (reading, event)


def _signature_faults(traveler: dict[str, Any], events: list[dict[str, Any]]) -> Iterator[str]:
    signed = {(e["kind"], e["recorded_at"], e["act"].get("step")): e for e in events}
    for step in traveler["steps"]:
        for word, kind in (("performed", "step performed"), ("accepted", "step accepted")):
            given = step[word] if isinstance(step[word], list) else [step[word]] if step[word] else []
            place = f"step {step['number']}, {word}"
            for signature in given:
                event = signed.get((kind, signature["recorded_at"], step["number"]))
                if event is None:
                    yield "step {}: signed as {} by no event".format(step["number"], word)
                    continue
                for key in ("by", "happened_at"):
                    yield from _differs(signature[key], event[key], f"{place}, {key}")
                for key in ("meaning", "revision"):
                    yield from _differs(signature[key], event["act"][key], f"{place}, {key}")


def _differs(printed: Any, expected: Any, place: str) -> Iterator[str]:
    if canonical(_said(printed)) != canonical(_said(expected)):
        yield f"{place} is printed as {_short(printed)}, the events say {_short(expected)}"


def _said(value: Any) -> Any:
    """Without the keys that say nothing: a later program may print more of them."""
    if isinstance(value, dict):
        return {key: _said(inner) for key, inner in value.items() if inner is not None}
    return [_said(inner) for inner in value] if isinstance(value, list) else value


def _short(value: Any) -> str:
    text = canonical(value)
    return text if len(text) <= 60 else text[:57] + "..."


# --- all of it -------------------------------------------------------------------------------------------------------


def faults_of(files: dict[str, bytes]) -> tuple[list[str], dict[str, Any], str]:
    """Every fault of a packet, a sentence each; and the traveler as it is printed in it."""
    faults = list(manifest_faults(files))
    try:
        export = json.loads(_text(files, TRAVELER))
        traveler, bodies, head = export["traveler"], export["events"], export["head"]
        links = export.get("links", [])
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        raise NoPacket(f"{TRAVELER} cannot be read: {error}") from error
    if _text(files, EVENTS) != "".join(body + "\n" for body in bodies):
        faults.append(f"{EVENTS} does not hold the events of {TRAVELER}")
    broken = list(chain_faults(bodies, links, head))
    faults += broken
    if not broken:
        events = [event for event in map(parsed, bodies) if event is not None]
        faults += attachment_faults(files, events)
        try:
            faults += printed_faults(traveler, events)
        except (KeyError, TypeError, AttributeError, IndexError, ValueError) as error:
            faults.append(f"{TRAVELER} does not have the form of a traveler: {error!r}")
        if traveler.get("head") != head:
            faults.append(
                "the traveler prints the code {}, the record has {}".format(traveler.get("head"), head)
            )
    return faults, traveler, head


def _text(files: dict[str, bytes], name: str) -> str:
    if name not in files:
        raise NoPacket(f"there is no {name}; expected the files of a packet")
    try:
        return files[name].decode("utf-8")
    except UnicodeDecodeError as error:
        raise NoPacket(f"{name} is no text") from error


def same_code(one: str, other: str) -> bool:
    """Whether two codes are the same, however they were typed."""
    letters = [
        re.sub("[^A-Z2-7]", "", code.upper().translate(str.maketrans("018", "OIB"))) for code in (one, other)
    ]
    return letters[0] == letters[1]


def main(arguments: list[str] | None = None) -> int:
    """Check, and say what was found."""
    parser = argparse.ArgumentParser(description="Check a packet of a traveler.")
    parser.add_argument("packet", nargs="?", default=os.path.dirname(os.path.abspath(__file__)))
    parser.add_argument("--code", help="a code noted earlier: of the job, or of the packet")
    asked = parser.parse_args(arguments)
    try:
        files = files_of(asked.packet)
        faults, traveler, head = faults_of(files)
    except (NoPacket, OSError) as error:
        print(f"verify: {_safe(str(error))}", file=sys.stderr)
        return 2
    packet_code = code_of(hashlib.sha256(files[MANIFEST]).digest())
    told = (traveler.get(key) for key in ("job", "revision", "state"))
    print(_safe("job {}, revision {}, {}".format(*told)))
    print(f"code of the job     {_safe(head)}, {len(files[EVENTS].splitlines())} events")
    print(f"code of the packet  {packet_code}, {len(files)} files")
    for fault in faults:
        print(f"ALTERED: {_safe(fault)}")
    noted = asked.code is None or same_code(asked.code, head) or same_code(asked.code, packet_code)
    if not noted:
        print(f"NOT THE CODE: {_safe(asked.code)} is neither of the two")
    if not faults:
        print(
            "Files, chain, attachments, and the job, limits, readings and signatures as printed fit together."
        )
        if asked.code is None:
            print("This is evidence once the code is held against one that was noted somewhere else: --code.")
    return 1 if faults or not noted else 0


def _safe(text: str) -> str:
    """Nothing in it acts on a terminal."""
    return (
        "".join(c if c.isprintable() else f"\\x{ord(c):02x}" for c in text)
        .encode(sys.stdout.encoding or "ascii", "backslashreplace")
        .decode(sys.stdout.encoding or "ascii")
    )


if __name__ == "__main__":
    sys.exit(main())
