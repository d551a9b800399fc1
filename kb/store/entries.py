"""The entries, systems and words of the trade as the store holds them."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from typing import TYPE_CHECKING, Any, Literal

import msgspec

from kb.errors import NotFound
from kb.model import Entry, ShopEntry, System, Term
from kb.store.file import StoreFile

if TYPE_CHECKING:
    from sqlite_utils import Database

Origin = Literal["seed", "shop"]


class EntryTable:
    """Reads and replaces entries. The shop's own come back as ShopEntry; kb.store.pages keeps them."""

    def __init__(self, file: StoreFile) -> None:
        self._file = file

    def loaded_fingerprint(self) -> str | None:
        """Return the fingerprint of the entry folder that was loaded last, or None."""
        with self._file.reading() as db:
            row = db.execute("SELECT fingerprint FROM loads").fetchone()
        return row[0] if row else None

    def replace_seed(
        self, entries: Iterable[Entry], systems: Iterable[System], words: Iterable[Term], *, fingerprint: str
    ) -> None:
        """Make the seed entries, systems and words of the store equal to these; one transaction, shop entries stay."""
        with self._file.writing() as db:
            for table in ("systems", "words", "loads"):
                db.table(table).delete_where()
            db.table("entries").delete_where("origin = 'seed'")
            db.table("entries").insert_all((_entry_row(entry, "seed") for entry in entries), replace=True)
            stand_own_pages(db)
            db.table("systems").insert_all(
                {"id": system.id, "place": place, "body": _as_json(system)} for place, system in enumerate(systems)
            )
            db.table("words").insert_all({"place": place, "body": _as_json(term)} for place, term in enumerate(words))
            db.table("loads").insert({"fingerprint": fingerprint, "loaded": self._file.now()})

    def get(self, entry_id: str) -> Entry:
        """Return one entry.

        Raises:
            NotFound: no entry has this id; the error carries no near names.
        """
        found = self.some([entry_id])
        if not found:
            raise NotFound("page", entry_id)
        return found[0]

    def some(self, ids: Iterable[str]) -> list[Entry]:
        """Return the entries of these ids, in their order; absent ones left out."""
        with self._file.reading() as db:
            rows = (db.execute("SELECT origin, body FROM entries WHERE id = ?", (i,)).fetchone() for i in ids)
            return [_entry(*row) for row in rows if row]

    def all(self, *, system: str | None = None) -> list[Entry]:
        """Return all entries, or those of one system, by id."""
        where, values = ("WHERE system = ?", (system,)) if system else ("", ())
        with self._file.reading() as db:
            rows = db.execute(f"SELECT origin, body FROM entries {where} ORDER BY id", values).fetchall()
        return [_entry(*row) for row in rows]

    def ids(self, *, origin: Origin | None = None) -> list[str]:
        """Return the ids of all entries, or of those that came from one side, sorted."""
        with self._file.reading() as db:
            rows = db.execute("SELECT id FROM entries WHERE :o IS NULL OR origin = :o ORDER BY id", {"o": origin})
            return [row[0] for row in rows]

    def values_of(self, field: Literal["title", "urgency", "nature"]) -> dict[str, str]:
        """Return one field of every entry, by id."""
        with self._file.reading() as db:
            return dict(db.execute("SELECT id, json_extract(body, '$.' || ?) FROM entries", (field,)).fetchall())

    def chosen(
        self,
        *,
        system: str | None = None,
        nature: str | None = None,
        urgency: str | None = None,
        construction: str | None = None,
    ) -> list[str]:
        """Return the ids of the entries that have all the values named, sorted; `any` construction fits each."""
        values = {"system": system, "nature": nature, "urgency": urgency, "construction": construction}
        with self._file.reading() as db:
            rows = db.execute(
                "SELECT id FROM entries WHERE (:system IS NULL OR system = :system)"
                " AND (:nature IS NULL OR json_extract(body, '$.nature') = :nature)"
                " AND (:urgency IS NULL OR json_extract(body, '$.urgency') = :urgency)"
                " AND (:construction IS NULL OR EXISTS (SELECT 1 FROM json_each(body, '$.construction')"
                " WHERE value IN ('any', :construction))) ORDER BY id",
                values,
            ).fetchall()
        return [name for (name,) in rows]

    def with_limit(self, limit_id: str) -> list[Entry]:
        """Return the entries that name this limit, by id."""
        with self._file.reading() as db:
            rows = db.execute(
                "SELECT origin, body FROM entries WHERE EXISTS"
                " (SELECT 1 FROM json_each(body, '$.limits') WHERE value = ?) ORDER BY id",
                (limit_id,),
            ).fetchall()
        return [_entry(*row) for row in rows]

    def stamp(self) -> str:
        """Return a text that changes whenever an entry or a word of the trade changes."""
        with self._file.reading() as db:
            rows = db.execute("SELECT id || ':' || sha256 FROM entries ORDER BY id").fetchall()
            rows += db.execute("SELECT fingerprint FROM loads").fetchall()
        return sha256("\n".join(row[0] for row in rows).encode()).hexdigest()

    def systems(self) -> list[System]:
        """Return the systems in reading order."""
        with self._file.reading() as db:
            rows = db.execute("SELECT body FROM systems ORDER BY place").fetchall()
        return [msgspec.json.decode(body, type=System) for (body,) in rows]

    def words(self) -> list[Term]:
        """Return the words of the trade in file order."""
        with self._file.reading() as db:
            rows = db.execute("SELECT body FROM words ORDER BY place").fetchall()
        return [msgspec.json.decode(body, type=Term) for (body,) in rows]


def stand_own_pages(db: Database) -> None:
    """Make the shop's own pages among the entries equal to the latest of each; an id that a seed page has is its."""
    db.table("entries").delete_where("origin = 'shop' AND id IN (SELECT page FROM pages)")
    rows = db.conn.execute(
        "SELECT body FROM pages AS p WHERE id = (SELECT max(id) FROM pages WHERE page = p.page)"
        " AND page NOT IN (SELECT id FROM entries) ORDER BY page"
    ).fetchall()
    db.table("entries").insert_all(_entry_row(msgspec.json.decode(body, type=Entry), "shop") for (body,) in rows)


def _entry(origin: str, body: str) -> Entry:
    entry = msgspec.json.decode(body, type=Entry)
    if origin == "seed":
        return entry
    return ShopEntry(**{name: getattr(entry, name) for name in Entry.__struct_fields__}, origin="shop")


def _entry_row(entry: Entry, origin: Origin) -> dict[str, Any]:
    body = _as_json(entry)
    digest = sha256(body.encode()).hexdigest()
    return {"id": entry.id, "system": entry.system, "sha256": digest, "origin": origin, "body": body}


def _as_json(record: msgspec.Struct) -> str:
    return msgspec.json.encode(record).decode()
