"""Calls, the visits that come of them, findings, and how each site ends a season."""
