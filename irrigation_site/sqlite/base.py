"""The embedded database.

Nothing may touch the data folder until something really needs the database, and
then no caller should have to remember to make it. So it is made here, where a
connection is opened. All else is Django's own backend.
"""

from pathlib import Path
from typing import Any

from django.db.backends.sqlite3.base import DatabaseWrapper as SQLiteWrapper

from irrigation_site.secret_key import make_data_folder


class DatabaseWrapper(SQLiteWrapper):
    """SQLite in a file whose folder is made when it is first opened."""

    def get_new_connection(self, conn_params: dict[str, Any]) -> Any:
        """Open the file, in a folder that only its owner can enter."""
        if not self.is_in_memory_db():
            make_data_folder(Path(conn_params["database"]).parent)
        return super().get_new_connection(conn_params)
