"""When a backflow assembly is due: rules as data, events, and the date they give."""
