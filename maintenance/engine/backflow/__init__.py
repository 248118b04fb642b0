"""Backflow assemblies: what was read in a field test and what it comes to."""
