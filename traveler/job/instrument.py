"""An instrument of the shop and whether it could be relied on at an instant."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any, Literal, get_args

from traveler.job.quantity_act import quantity_to_act
from traveler.quantity.quantity import Quantity

if TYPE_CHECKING:
    # A register of instruments is read before any job is.
    from traveler.job.state import JobState

InstrumentType = Literal[
    "contact thermometer",
    "thermocouple",
    "recorder",
    "infrared thermometer",
    "temperature crayon",
    "hardness tester",
    "caliper",
    "micrometer",
    "tape",
    "gauge",
    "torque wrench",
    "other",
]
INSTRUMENT_TYPES: tuple[str, ...] = get_args(InstrumentType)
CRAYON, INFRARED, RECORDER = "temperature crayon", "infrared thermometer", "recorder"

CalibrationState = Literal["in calibration", "overdue", "never calibrated", "withdrawn"]
IN_CALIBRATION: CalibrationState = "in calibration"


@dataclass(frozen=True, slots=True)
class Calibration:
    """A calibration: good from ``on`` to the end of ``due``; ``uncertainty`` where the certificate states one."""

    on: date
    due: date
    certificate: str
    uncertainty: Quantity | None = None


@dataclass(frozen=True, slots=True)
class FoundOut:
    """Found out of tolerance ``on`` a day; what it read since the last good calibration (``since``) is in question."""

    on: date
    finding: str
    since: date


@dataclass(frozen=True, slots=True)
class Instrument:
    """An instrument as registered. ``uncertainty`` is expanded, k = 2; of a thermometer a difference (C° or F°)."""

    id: str
    name: str
    type: str
    range_from: Quantity | None = None
    range_to: Quantity | None = None
    uncertainty: Quantity | None = None
    serial: str | None = None
    calibrations: tuple[Calibration, ...] = ()
    found_out: tuple[FoundOut, ...] = ()
    withdrawn_at: datetime | None = None
    withdrawn_because: str | None = None


def calibration_at(instrument: Instrument, day: date) -> Calibration | None:
    """The latest calibration made on or before ``day``, lapsed or not; of two on one day the later entered."""
    made = [calibration for calibration in instrument.calibrations if calibration.on <= day]
    return max(reversed(made), key=lambda calibration: calibration.on, default=None)


def state_on(instrument: Instrument, instant: datetime) -> CalibrationState:
    """Whether the instrument could be relied on at ``instant``, by what is known of it today.

    The day is that of the instant in its own offset. A calibration counts from its day to the end of its due day. From
    the last good calibration on, an instrument found out of tolerance is ``overdue`` until it is calibrated after the
    finding. A temperature crayon is not calibrated: it is good as it was made (to 1 % of its mark, by a seller's page
    [secondary]) until it is withdrawn or, where a calibration was entered for its batch, until that is due.
    """
    if instrument.withdrawn_at is not None and instant >= instrument.withdrawn_at:
        return "withdrawn"
    day = instant.date()
    calibration = calibration_at(instrument, day)
    if calibration is None:
        return IN_CALIBRATION if instrument.type == CRAYON else "never calibrated"
    if day > calibration.due or in_doubt(instrument, day) is not None:
        return "overdue"
    return IN_CALIBRATION


def in_doubt(instrument: Instrument, day: date) -> FoundOut | None:
    """The finding that puts what the instrument read on ``day`` in question; None where there is none."""
    return next((found for found in instrument.found_out if _doubts(instrument, found, day)), None)


def _doubts(instrument: Instrument, found: FoundOut, day: date) -> bool:
    # A calibration on the day of the finding mends it; it is not what was found wrong.
    mended = _mended_on(instrument, found)
    return found.since <= day and (mended is None or day < mended)


def _questions(instrument: Instrument, found: FoundOut, day: date) -> bool:
    return _doubts(instrument, found, day) or day == _mended_on(instrument, found)


def _mended_on(instrument: Instrument, found: FoundOut) -> date | None:
    return min((made.on for made in instrument.calibrations if made.on >= found.on), default=None)


def instrument_state(instrument: Instrument, instant: datetime) -> dict[str, Any]:
    """What a reading keeps of its instrument, frozen at entry: the value of ``instrument_state`` in an event.

    ``certificate``, ``serial``, ``range`` and ``why`` (of a finding or a withdrawal) only where there is something to
    say.
    """
    day = instant.date()
    calibration, state = calibration_at(instrument, day), state_on(instrument, instant)
    uncertainty = (calibration.uncertainty if calibration else None) or instrument.uncertainty
    frozen: dict[str, Any] = {
        "instrument": instrument.id,
        "name": instrument.name,
        "type": instrument.type,
        "uncertainty": quantity_to_act(uncertainty),
        "calibrated": calibration.on.isoformat() if calibration else None,
        "due": calibration.due.isoformat() if calibration else None,
        "state": state,
    }
    if calibration is not None:
        frozen["certificate"] = calibration.certificate
    if instrument.serial is not None:
        frozen["serial"] = instrument.serial
    if instrument.range_from is not None or instrument.range_to is not None:
        frozen["range"] = {
            "from": quantity_to_act(instrument.range_from),
            "to": quantity_to_act(instrument.range_to),
        }
    found = in_doubt(instrument, day)
    if state == "withdrawn":
        frozen["why"] = instrument.withdrawn_because
    elif state == "overdue" and found is not None:
        frozen["why"] = f"found out of tolerance on {found.on.isoformat()}: {found.finding}"
    return frozen


def readings_since_last_good(
    instrument: Instrument, found: FoundOut, jobs: Iterable["JobState"]
) -> list[tuple[str, tuple[int, ...]]]:
    """Every reading that a finding puts in question, as (job number, reading numbers); jobs without one are left out.

    From the day of the last good calibration to the day on which the instrument was calibrated again, both included: no
    entry tells what was read on such a day before the calibration and what after. Superseded readings and those of
    earlier attempts are in it, since they print.
    """
    questioned = []
    for job in jobs:
        numbers = tuple(
            reading.number
            for reading in job.readings
            if reading.instrument_state is not None
            and reading.instrument_state.instrument == instrument.id
            and _questions(instrument, found, datetime.fromisoformat(reading.moment.happened_at).date())
        )
        if numbers:
            questioned.append((job.plan.number, numbers))
    return questioned
