"""What happened: the SQLite journal, replay, import and export."""
