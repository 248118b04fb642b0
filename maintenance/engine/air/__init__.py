"""Air: what it weighs, how it flows, what it carries and how hot it is."""
