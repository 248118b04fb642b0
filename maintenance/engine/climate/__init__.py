"""When it freezes: daily records, first and last freezes, and acting in time."""
