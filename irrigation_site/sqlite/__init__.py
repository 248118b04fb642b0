"""Django's SQLite backend, with the data folder made at the first connection."""
