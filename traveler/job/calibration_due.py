"""Instruments whose calibration is due soon, or over."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from traveler.job.instrument import IN_CALIBRATION, CalibrationState, Instrument, calibration_at, state_on

AHEAD = timedelta(days=14)
"""So long before its day a calibration is called due (our own rule, no published source)."""


@dataclass(frozen=True, slots=True)
class CalibrationDue:
    """An instrument that cannot be relied on, now or soon; ``due`` is its last good day, None where none is known."""

    instrument: Instrument
    state: CalibrationState
    due: date | None


def calibrations_due(instruments: Iterable[Instrument], now: datetime) -> list[CalibrationDue]:
    """Those that lapsed or were never calibrated first, then those due within ``AHEAD``, each by their day.

    A withdrawn instrument is not waited for.
    """
    found = []
    for instrument in instruments:
        state = state_on(instrument, now)
        calibration = calibration_at(instrument, now.date())
        due = None if calibration is None else calibration.due
        soon = due is not None and due <= now.date() + AHEAD
        if state != "withdrawn" and (state != IN_CALIBRATION or soon):
            found.append(CalibrationDue(instrument, state, due))
    return sorted(found, key=lambda entry: (entry.state == IN_CALIBRATION, entry.due or date.min))
