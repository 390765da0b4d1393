"""A closed job that has everything a dossier may print, made by the acts. Invented people, metal and numbers."""

import struct
import zlib
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from traveler.acts.change import Outcome
from traveler.acts.chart_asked import Asked
from traveler.acts.charts import NewChart, attach_chart
from traveler.acts.instruments import NewInstrument, calibrated, register_instrument
from traveler.acts.issue import close, issue
from traveler.acts.nonconformance import (
    close_nonconformance,
    decide_disposition,
    open_nonconformance,
    propose,
)
from traveler.acts.parts import Amount, register_part, set_interval
from traveler.acts.parts import Signing as PartSigning
from traveler.acts.readings import NewReading, attach, record_reading, retry, supersede
from traveler.acts.sign import accept, perform
from traveler.acts.signed_change import Signing
from traveler.chart.model import Told
from traveler.demo.script import kept_file, sheets
from traveler.job.state import Person
from traveler.record.shop import Shop

NUMBER = "WHOLE-1"
ENGINEER, FITTER, WELDER, SECOND = (
    Person(f"{name} (invented)") for name in ("Ida Quench", "Otto Ferrule", "Nell Fettle", "Łukasz Śruba")
)
_BEGUN = datetime.fromisoformat("2026-03-02T07:30:00+01:00")
_DIMENSION = """
[[dimension]]
id = "D1"
title = "hole to web"
nominal = "2.250 in"
tolerance = "0.020 in"
"""


def picture(width: int = 120, height: int = 80) -> bytes:
    """A grey wedge (PNG, W3C 2003)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    rows = b"".join(b"\x00" + bytes(255 * x // width for x in range(width)) for _ in range(height))
    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )


class Work:
    """The shop and a clock that goes on by some minutes with each act."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.instant = _BEGUN

    def now(self) -> datetime:
        """The next moment of work."""
        self.instant += timedelta(minutes=4)
        return self.instant

    def read(
        self,
        by: Person,
        step: int,
        quantity: str,
        value: str,
        place: str | None = None,
        run: int | None = None,
    ) -> None:
        """A reading, complying or not; a temperature by the calibrated thermometer."""
        instrument = "CT-1" if value.endswith(" F") else None
        entered = NewReading(step, quantity, value, place=place, instrument=instrument, run=run)
        assert record_reading(self.shop, self, by, NUMBER, entered).recorded

    def sign(self, by: Person, step: int) -> None:
        """Performed by one person, accepted by the engineer."""
        done(perform(self.shop, self, by, NUMBER, step))
        done(accept(self.shop, self, ENGINEER, NUMBER, step))


def done(outcome: Outcome | Any) -> None:
    """It was recorded, or the reasons why not."""
    assert outcome.recorded, (outcome.message, outcome.reasons)


def whole_job(path: Path) -> Iterator[Shop]:
    """A new shop file with the closed job and its part."""
    with Shop.create(path) as shop:
        work = Work(shop)
        _prepare(work)
        _weld(work)
        _relieve(work)
        _inspect(work)
        done(close(shop, work, ENGINEER, NUMBER))
        by = PartSigning(ENGINEER)
        done(register_part(shop, work, by, NUMBER, "WP-4-001"))
        done(set_interval(shop, work, by, "WP-4-001", Amount(6, "20 h", None, 12), "the owner asks"))
        yield shop


def _sheet() -> bytes:
    sheet = sheets()["DEMO-6"].decode().replace('"DEMO-6"', f'"{NUMBER}"').replace("(demo)", "(invented)")
    return (sheet + _DIMENSION).encode()


def _prepare(work: Work) -> None:
    thermometer = NewInstrument("CT-1", "contact thermometer", "0 F", "1000 F", "2 F°")
    done(register_instrument(work.shop, work, ENGINEER, thermometer))
    done(calibrated(work.shop, work, ENGINEER, "CT-1", "2026-01-12", "2027-01-12", "invented certificate 88"))
    done(issue(work.shop, work, ENGINEER, _sheet()))
    attach(
        work.shop, work, FITTER, NUMBER, 10, "mill certificate.txt", b"Invented certificate.\n", "certificate"
    )
    work.read(FITTER, 10, "cut edge of web", "cut cold")
    work.read(FITTER, 10, "cut edge of flange", "cut cold")
    work.sign(FITTER, 10)
    work.read(FITTER, 20, "heat number of web", "DEMO-H209")
    work.read(FITTER, 20, "heat number of flange", "DEMO-H210")
    work.read(FITTER, 20, "gap", "1/32 in", "front edge")
    work.read(FITTER, 20, "metal dry", "yes")
    work.read(FITTER, 20, "metal temperature", "78 F", "both members")
    work.read(FITTER, 20, "tack preheat temperature", "326 F", "beside the first tack")
    work.read(FITTER, 20, "dimension D1", "2.254 in")
    attach(work.shop, work, FITTER, NUMBER, 20, "fit-up.png", picture(), "photo")
    work.sign(FITTER, 20)


def _weld(work: Work) -> None:
    work.read(WELDER, 30, "preheat temperature", "284 F", "web, 19 mm from the edge")
    done(retry(work.shop, work, WELDER, NUMBER, 30, "preheat temperature", None, "heated again, larger tip"))
    work.read(WELDER, 30, "preheat temperature", "331 F", "web, 19 mm from the edge")
    work.read(WELDER, 30, "preheat temperature", "319 F", "flange, 19 mm from the edge")
    work.sign(WELDER, 30)
    work.read(WELDER, 40, "filler lot", "DEMO-L31")
    work.read(WELDER, 40, "welder", WELDER.name)
    work.read(WELDER, 40, "interpass temperature", "314 F", "front side", 1)
    work.read(WELDER, 40, "arc energy", "12 V 130 A 4 in/min", "front side")
    work.read(SECOND, 40, "welder", SECOND.name)
    work.read(SECOND, 40, "interpass temperature", "1425 F", "rear side", 2)
    wrong = max(r.number for r in _state(work).readings)
    done(supersede(work.shop, work, SECOND, NUMBER, wrong, "425 F", "typing error: a 1 too many"))
    work.read(SECOND, 40, "arc energy", "12.1 V 128 A 4 in/min", "rear side")
    work.sign(WELDER, 40)
    work.read(WELDER, 50, "cooling after welding", "slow cooled under cover")
    work.instant += timedelta(hours=2)
    work.sign(WELDER, 50)


def _state(work: Work) -> Any:
    from traveler.acts.change import load_job

    return load_job(work.shop, NUMBER)


def _relieve(work: Work) -> None:
    work.instant += timedelta(hours=20)
    told = Told(couples=("TC-3 web (F)", "TC-4 flange (F)"), furnace=("Furnace (F)",))
    chart = "relief-demo-6.csv"
    asked = Asked(told, loaded="0:00:00", uncertainty="8 F°")
    done(
        attach_chart(work.shop, work, FITTER, NUMBER, NewChart(60, chart, lambda: (kept_file(chart),), asked))
    )
    done(perform(work.shop, work, FITTER, NUMBER, 60))
    what = "the furnace overshot: the flange was 24 F° above the range for 27 min"
    done(open_nonconformance(Signing(work.shop, work, FITTER, NUMBER), 60, what, "soak temperature"))
    engineer = Signing(work.shop, work, ENGINEER, NUMBER)
    fitter = Signing(work.shop, work, FITTER, NUMBER)
    done(
        propose(
            fitter,
            1,
            "use as is",
            "the flange stays below its transformation; hardness is read at the inspection",
        )
    )
    done(decide_disposition(engineer, 1, True))
    done(close_nonconformance(engineer, 1))
    done(accept(work.shop, work, ENGINEER, NUMBER, 60))


def _inspect(work: Work) -> None:
    step = next(step for step in _state(work).plan.steps if step.kind == "inspect")
    work.instant += timedelta(hours=49)
    values = {
        "wait before test": "72 h",
        "visual result": "accepted",
        "crack test": "no relevant indications",
        "hardness": "240 HV",
        "dimension D1": "2.246 in",
    }
    for requirement in step.requirements:
        work.read(FITTER, step.number, requirement.quantity, values[requirement.quantity], requirement.joint)
    attach(work.shop, work, FITTER, NUMBER, step.number, "weld toe.png", picture(200, 90), "photo")
    work.sign(FITTER, step.number)
    for later in _state(work).plan.steps:
        if later.number > step.number:
            for requirement in later.requirements:
                said = (
                    requirement.accepts[0] if requirement.accepts else "2 x 5/16-24 UNF, 17 ft lb, wrench W-2"
                )
                work.read(FITTER, later.number, requirement.quantity, said)
            work.sign(FITTER, later.number)
