"""Worksheets: each declares one calculation once, for every face and for the tests."""
