"""The store: the household's records in one SQLite file, every revision of them, backups, bundle and CSV."""

from fitcheck.store.store import Store

__all__ = ["Store"]
