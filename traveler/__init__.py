"""Fabrication job traveler: limits computed from the metal, acceptance only when the readings comply."""

__version__ = "0.1.0"
