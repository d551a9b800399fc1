"""Opens SQLite files to read, and says in plain words why one cannot be read or written."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from kb.errors import StoreUnavailable

_LOCKED = ("SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_PROTOCOL")

BUSY_SECONDS = 30.0
"""How long one who must wait for another does so: longer than 10,000 findings of two writers keep either of them out,
as tests/kb/test_nothing_lost.py measures; the waits in between grow to 0.1 s (sqlite.org, "sqlite3_busy_timeout")."""


@contextmanager
def reading(path: Path, *, busy_seconds: float = BUSY_SECONDS) -> Iterator[sqlite3.Connection]:
    """Give a connection to an SQLite file that cannot write.

    Raises:
        StoreUnavailable: the file cannot be opened or read, or is no database.
    """
    with plainly_explained(path):
        _settle(path, busy_seconds)
        address = f"file:{as_uri_path(path)}?mode=ro"
        with closing(sqlite3.connect(address, uri=True, timeout=busy_seconds)) as connection:
            connection.execute("PRAGMA query_only = ON")
            yield connection


def _settle(path: Path, busy_seconds: float) -> None:
    """Take back what a killed program left half done beside a store that had no log; a reader may not do that."""
    if path.with_name(f"{path.name}-journal").exists() and path.exists():
        with closing(sqlite3.connect(path, timeout=busy_seconds)) as connection:
            connection.execute("SELECT count(*) FROM sqlite_master")


@contextmanager
def plainly_explained(path: Path) -> Iterator[None]:
    """Turn what SQLite says into a StoreUnavailable that says it plainly."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        raise StoreUnavailable(path, *explain(error)) from error


def is_locked(error: StoreUnavailable) -> bool:
    """Return whether it was another program's lock that stood in the way."""
    return getattr(error.__cause__, "sqlite_errorname", "").startswith(_LOCKED)


def as_uri_path(path: Path) -> str:
    """Return the path for an SQLite URI. Source: sqlite.org, "Uniform Resource Identifiers", the URI path."""
    return str(path.absolute()).replace("%", "%25").replace("?", "%3f").replace("#", "%23")


def explain(error: sqlite3.DatabaseError) -> tuple[str, str]:
    """Return what is the matter with the file, and what to do. Names: sqlite.org, "Result and Error Codes"."""
    name = getattr(error, "sqlite_errorname", "")
    if name.startswith(_LOCKED):
        return "is locked by another program", "wait until that has finished and try again; nothing was changed"
    if name.startswith("SQLITE_FULL"):
        return "cannot grow, the disk is full", "make room and try again; nothing was changed"
    if name == "SQLITE_READONLY_DBMOVED":
        return "was replaced by another one just now", "try again; nothing was changed"
    if name.startswith("SQLITE_READONLY"):
        return "may be read but not written", "check who may write it; nothing was changed"
    if name.startswith(_NOT_WRITTEN):
        return "cannot be written, the disk is full or failing", "make room and try again; nothing was changed"
    if name.startswith(("SQLITE_CANTOPEN", "SQLITE_IOERR")):
        return "cannot be opened", "check that it is a file you may read, or name another with --store"
    if name.startswith(("SQLITE_NOTADB", "SQLITE_CORRUPT")):
        return "is damaged or is not an oddfix store", "name another with --store, or restore a backup"
    return f"answered: {error}", "the store was left as it is"


_NOT_WRITTEN = tuple(
    f"SQLITE_IOERR_{what}" for what in ("WRITE", "FSYNC", "DIR_FSYNC", "TRUNCATE", "SHMOPEN", "SHMSIZE", "SHMMAP")
)
