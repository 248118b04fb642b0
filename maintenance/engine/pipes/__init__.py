"""Pipes: what they measure, what they are rated for and how hard air may press."""
