"""The autumn shutdown, compiled from a site."""
