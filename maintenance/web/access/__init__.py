"""Who is asking, what they may do, and the one gate in front of every page."""
