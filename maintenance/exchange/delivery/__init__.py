"""Ways by which a reminder leaves: mail, and signed requests."""
