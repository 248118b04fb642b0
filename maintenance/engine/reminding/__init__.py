"""Reminders: what is due, who is told when, and what becomes of each attempt."""
