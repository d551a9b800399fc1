"""The form of a pack: what may be in it and how large, and its manifest. DEVELOPERS.md describes it for others."""

from __future__ import annotations

import re
from hashlib import sha256
from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from kb.errors import FileRefused
from kb.model import Sha256, Time

FORMAT = 1
MANIFEST = "manifest.json"
RECORDS = ("findings.jsonl", "airframes.jsonl", "pages.jsonl")
"""Members that hold records, one JSON object a line, rising by id."""

PHOTO = re.compile(r"photos/([0-9a-f]{64})\.(jpg|png|heic)")
SUFFIXES = {"jpeg": "jpg", "png": "png", "heic": "heic"}
"""Kind of a photo to the end of its member's name."""

MOST_MEMBERS = 20_000
MOST_BYTES = 2_000_000_000
"""Of a pack, and of all it unpacks to: below what needs a zip with 64-bit sizes, which is not read."""

MOST_DIRECTORY_BYTES = 200 * MOST_MEMBERS
MOST_RECORD_BYTES = 500_000_000
MOST_MANIFEST_BYTES = 8_000_000
MOST_PHOTO_BYTES = 20_000_000
MOST_LINE = 2_000_000
MOST_RATIO = 250
RATIO_FROM = 10_000_000
"""Unpacked bytes a packed byte may stand for in a member larger than RATIO_FROM. JSON Lines of like records reach some
tens, deflate at most 1,032; what would be tighter is stored as it is. Chosen."""

Part = Literal["who", "airframe", "photos"]
"""What may be left out of a pack."""

_Count = Annotated[int, Meta(ge=0)]


class PackRefused(FileRefused):
    """A pack that is not taken in; nothing of it was kept."""


class Member(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One file of the pack with its size in bytes, unpacked."""

    name: Annotated[str, Meta(max_length=100)]
    size: Annotated[int, Meta(ge=0, le=MOST_BYTES)]
    sha256: Sha256


class Counts(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """How much of each a pack holds."""

    findings: _Count
    revisions: _Count
    airframes: _Count
    pages: _Count
    photos: _Count


class Manifest(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What a pack holds.

    `absent` names the photos that findings show and the sender has not, since the findings came in a table. `origin`
    lets the store it came from know it again, and no other. `sha256` is over the manifest with that field empty, and so
    over every member by its hash.
    """

    pack: Literal["oddfix"] = "oddfix"
    format: int
    made: Time
    program: Annotated[str, Meta(max_length=40)]
    origin: Sha256
    left_out: tuple[Part, ...] = ()
    counts: Counts
    absent: tuple[Sha256, ...] = ()
    members: tuple[Member, ...]
    sha256: Annotated[str, Meta(max_length=64)] = ""


def sealed(manifest: Manifest) -> Manifest:
    """Return the manifest with the SHA-256 of the whole pack in it."""
    empty = msgspec.structs.replace(manifest, sha256="")
    return msgspec.structs.replace(manifest, sha256=sha256(as_bytes(empty)).hexdigest())


def is_sealed(body: bytes, claimed: str) -> bool:
    """True when the bytes of a manifest, whoever wrote them, have this SHA-256 once it is taken out of them."""
    seal = claimed.encode()
    return body.count(seal) == 1 and sha256(body.replace(seal, b"")).hexdigest() == claimed


def as_bytes(manifest: Manifest) -> bytes:
    """Return the manifest as it stands in a pack."""
    return msgspec.json.format(msgspec.json.encode(manifest), indent=1)


def origin_of(store: str, members: tuple[Member, ...]) -> str:
    """Return a mark of this store on a pack of these members; another pack of the same store has another."""
    listed = "".join(f"{member.sha256} {member.name}\n" for member in members)
    return sha256(f"{store}\n{listed}".encode()).hexdigest()
