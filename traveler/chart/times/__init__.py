"""The times of a logger's file: their form, the zone of its clock, and seconds from the first row."""
