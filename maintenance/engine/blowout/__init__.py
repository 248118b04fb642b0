"""Blowing a site out: rows, limits, settings, displacement, passes and verdicts."""
