"""The walk through the pages of a new job: an invented fillet of 4130 to S355 by TIG, from nothing."""

from tui_kit import Typed, typed

FROM_NOTHING: dict[str, list[str | Typed]] = {
    "job": [
        *typed("N-100"),
        "enter",
        *typed("Damper bracket, invented"),
        "enter",
        "enter",
        "1",
        "enter",
        *typed("welding engineer"),
        "enter",
        *typed("shop"),
        "enter",
        *typed("350 HV"),
        "f10",
    ],
    "material[0]": [
        "enter",
        *typed("413"),
        "enter",
        "1",
        "enter",
        "2",
        "enter",
        *typed("N4410"),
        "enter",
        "3",
        "enter",
        *typed("C 0.30 Si .27, Mn 0.51 Cr 0.96 Mo 0.19"),
        "enter",
        "enter",
        "2",
        "enter",
    ],
    "material[1]": ["enter", *typed("S355J2"), "enter", "3", "f10"],
    "filler[0]": ["enter", *typed("er70s-2"), "enter", *typed("H5"), "f10"],
    "joint[0]": [
        "enter",
        "2",
        "enter",
        *typed("TIG"),
        "enter",
        "1",
        "enter",
        "enter",
        *typed("12 V 150 A 90 mm/min"),
        "enter",
        "3",
        "enter",
    ],
    "joint[0].member[0]": ["enter", "1", "enter", *typed("1/4 in"), "enter"],
    "joint[0].member[1]": ["enter", "1", "enter", *typed("3/16 in"), "enter", "enter"],
    "site": ["f10"],
}

BY_HAND = """
[job]
number = "N-100"
title = "Damper bracket, invented"
units = "inch"
decides = "welding engineer"
stress_relief = "shop 4130"
hardness_limit = "350 HV"

[[material]]
id = "M1"
grade = "4130"
condition = "normalized"
heat_number = "N4410"
certificate = "3.1"
composition = { C = 0.30, Si = 0.27, Mn = 0.51, Cr = 0.96, Mo = 0.19 }

[[material]]
id = "M2"
grade = "S355J2"
condition = "as rolled"

[[filler]]
id = "F1"
classification = "ER70S-2"
hydrogen = "H5"

[[joint]]
id = "J1"
type = "T fillet"
process = "141"
filler = "F1"
volts = 12
amps = 150
travel = "90 mm/min"
restraint = "high"
member = [ { material = "M1", form = "plate", thickness = "1/4 in" },
           { material = "M2", form = "plate", thickness = "3/16 in" } ]
"""

ENTERED = {
    "job.number": "N-100",
    "job.title": "Damper bracket, invented",
    "job.units": "inch",
    "job.decides": "welding engineer",
    "job.stress_relief": "shop 4130",
    "job.hardness_limit": "350 HV",
    "material[0].id": "M1",
    "material[0].grade": "4130",
    "material[0].condition": "normalized",
    "material[0].heat_number": "N4410",
    "material[0].certificate": "3.1",
    "material[0].composition": "C 0.30 Si .27, Mn 0.51 Cr 0.96 Mo 0.19",
    "material[1].id": "M2",
    "material[1].grade": "S355J2",
    "material[1].condition": "as rolled",
    "filler[0].id": "F1",
    "filler[0].classification": "ER70S-2",
    "filler[0].hydrogen": "H5",
    "joint[0].id": "J1",
    "joint[0].type": "T fillet",
    "joint[0].process": "141",
    "joint[0].filler": "F1",
    "joint[0].arc_energy": "12 V 150 A 90 mm/min",
    "joint[0].restraint": "high",
    "joint[0].member[0].material": "M1",
    "joint[0].member[0].form": "plate",
    "joint[0].member[0].thickness": "1/4 in",
    "joint[0].member[1].material": "M2",
    "joint[0].member[1].form": "plate",
    "joint[0].member[1].thickness": "3/16 in",
}
"""The same as it stands in a draft."""
