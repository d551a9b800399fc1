"""Makes time-ordered identifiers: UUID version 7. Source: RFC 9562, section 5.7, with section 6.2 method 3."""

from __future__ import annotations

import os
import threading
import time
import uuid
from datetime import UTC, datetime, timedelta

_lock = threading.Lock()
_last = 0


def new_id(*, after: str | None = None) -> str:
    """Return a fresh UUIDv7 as text: greater than every earlier one of this process, and than `after` if given."""
    global _last
    floor = _stamp_of(after) + 1 if after else 0
    with _lock:
        milliseconds, nanoseconds = divmod(time.time_ns(), 1_000_000)
        stamp = max((milliseconds << 12) | (nanoseconds << 12) // 1_000_000, _last + 1, floor)
        _last = stamp
    random = int.from_bytes(os.urandom(8), "big") & ((1 << 62) - 1)
    value = (stamp >> 12) << 80 | 0x7 << 76 | (stamp & 0xFFF) << 64 | 0b10 << 62 | random
    return str(uuid.UUID(int=value))


def time_of(identifier: str) -> str:
    """Return the time inside a UUIDv7, UTC, ISO 8601 to the second."""
    moment = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=milliseconds_of(identifier))
    return moment.isoformat(timespec="seconds").replace("+00:00", "Z")


def milliseconds_of(identifier: str) -> int:
    """Return the time inside a UUIDv7 in milliseconds since 1970; it may be later than any calendar's end."""
    return int(identifier.replace("-", "")[:12], 16)


def handle(identifier: str) -> str:
    """Return the short form of an identifier that people type: its last eight characters."""
    return identifier[-8:]


def _stamp_of(identifier: str) -> int:
    value = uuid.UUID(identifier).int
    return (value >> 80) << 12 | (value >> 64) & 0xFFF
