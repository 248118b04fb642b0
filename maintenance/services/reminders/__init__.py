"""Obligations found and kept, messages that are the truth, and who is told."""
