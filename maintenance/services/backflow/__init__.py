"""Backflow assemblies: their register, their tests and when these are due."""
