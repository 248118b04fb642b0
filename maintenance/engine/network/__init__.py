"""The site as a graph of points and links, and the ways that air can take."""
