"""The rules that each step of a list, and its end, are checked against."""
