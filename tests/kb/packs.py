"""Packs to look at and to spoil: written by a shop, taken apart, and put together again otherwise."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec
from PIL import Image

from kb.exchange.packform import Counts, Manifest, Member, as_bytes, sealed
from kb.store import Store

Members = dict[str, bytes]


def picture(colour: int = 90, *, kind: str = "JPEG", **more: Any) -> bytes:
    """A small picture."""
    body = io.BytesIO()
    Image.new("RGB", (8, 6), (colour, 10, 10)).save(body, kind, **more)
    return body.getvalue()


def said(store: Store) -> tuple[Any, ...]:
    """Everything a merge may change."""
    return store.revisions.all(), store.airframes.all(), store.pages.all(), store.photos.all()


def members_of(path: Path) -> Members:
    """What a pack holds, by name."""
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def counted(members: Members) -> Counts:
    """How much of each the members hold."""
    lines = {name: body.split(b"\n")[:-1] for name, body in members.items() if name.endswith(".jsonl")}
    findings = set(re.findall(rb'"finding": ?"([^"]*)"', members.get("findings.jsonl", b"")))
    revisions, airframes, pages = (len(lines.get(f"{name}.jsonl", ())) for name in ("findings", "airframes", "pages"))
    return Counts(len(findings), revisions, airframes, pages, sum(name.startswith("photos/") for name in members))


def rewritten(path: Path, target: Path, change: Callable[[Members], Any], *, is_sealed: bool = True) -> Path:
    """Write a pack anew with other members; sealed, its manifest fits them."""
    members = members_of(path)
    change(members)
    if is_sealed:
        manifest = msgspec.json.decode(members["manifest.json"], type=Manifest)
        listed = tuple(
            Member(name, len(body), sha256(body).hexdigest())
            for name, body in members.items()
            if name != "manifest.json"
        )
        manifest = msgspec.structs.replace(manifest, members=listed, counts=counted(members))
        members["manifest.json"] = as_bytes(sealed(manifest))
    with zipfile.ZipFile(target, "w") as archive:
        for name, body in members.items():
            archive.writestr(name, body)
    return target
