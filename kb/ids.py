"""Makes time-ordered identifiers: UUID version 7. Source: RFC 9562, section 5.7, with section 6.2 method 3."""

from __future__ import annotations

import os
import threading
import time
import uuid

_lock = threading.Lock()
_last = 0


def new_id() -> str:
    """Return a fresh UUIDv7 as text; within one process each is greater than the one before."""
    global _last
    with _lock:
        milliseconds, nanoseconds = divmod(time.time_ns(), 1_000_000)
        stamp = max((milliseconds << 12) | (nanoseconds << 12) // 1_000_000, _last + 1)
        _last = stamp
    random = int.from_bytes(os.urandom(8), "big") & ((1 << 62) - 1)
    value = (stamp >> 12) << 80 | 0x7 << 76 | (stamp & 0xFFF) << 64 | 0b10 << 62 | random
    return str(uuid.UUID(int=value))


def handle(identifier: str) -> str:
    """Return the short form of an identifier that people type: its last eight characters."""
    return identifier[-8:]
