"""Seasonal lists: steps, the state they leave, and the rules they are checked by."""
