"""Putting water back: filling, surge, and the test for leaks."""
