"""A chart held against limits, criterion by criterion."""
