"""The way in to times of logger files, for the reader and for whoever is handed a time of a chart by a person."""

from traveler.chart.times.clock import Clock
from traveler.chart.times.evener import Evened, strictly_rising
from traveler.chart.times.settle_time import looks_like_time, settle_time
from traveler.chart.times.time_form import TimeForm
from traveler.chart.times.typed_time import seconds_at

__all__ = ["Clock", "Evened", "TimeForm", "looks_like_time", "seconds_at", "settle_time", "strictly_rising"]
