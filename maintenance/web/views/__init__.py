"""One module of views for each room of the office."""
