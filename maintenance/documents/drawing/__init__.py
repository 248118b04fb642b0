"""Plan and profile as SVG text: pure functions from engine values to a drawing."""
