"""The store: one SQLite file. The only place that speaks SQL; it searches nothing and judges nothing."""

from kb.store.findings import FindingRow
from kb.store.store import Store, default_store, index_folder

__all__ = ["FindingRow", "Store", "default_store", "index_folder"]
