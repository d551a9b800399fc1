"""All that concerns this shop and its store, as one list to choose from."""

from __future__ import annotations

from collections.abc import Sequence

from tui.screens.listing import Line, ListScreen

LINES = (
    Line("pressing", "findings", "What is open, most pressing first", "", "of all aircraft or one"),
    Line("newest", "findings", "All findings, newest first", "", "by aircraft and state"),
    Line(
        "counts", "findings", "What this shop finds most", "", "by system, nature, cause, page, aircraft, state, year"
    ),
    Line("conflicts", "findings", "Said differently by two shops", "", "after a merge; one word is chosen for each"),
    Line("aircraft", "aircraft", "The shop's aircraft", "", "what is open on each, and what is known of it"),
    Line("own-pages", "pages", "The shop's own pages", "", "made from findings that no page covers"),
    Line("import", "in", "Take in a table", "", "CSV, XLSX or JSON Lines; first a plan, then the rows"),
    Line("merge", "in", "Take in another shop's pack", "", "verified whole, then told, then taken in"),
    Line("csv", "out", "Write findings as a table", "", "CSV, for spreadsheets"),
    Line("jsonl", "out", "Write findings as JSON Lines", "", "for programs; comes back exactly"),
    Line("pack", "out", "Pack findings for another shop", "", "with or without who and which aircraft"),
    Line("name-shop", "store", "Name this shop", "", "new revisions carry the name; a pack may leave it out"),
    Line("check", "store", "Check the store", "", "whether all it holds is whole"),
    Line("backup", "store", "Back the store up", "", "while it is in use"),
)


class ShopScreen(ListScreen):
    """What can be done beside asking and reading."""

    name_on_trail = "shop"
    is_live = True

    def read(self) -> tuple[str, Sequence[Line]]:
        where = self.desk.store.path
        return f"{self.desk.store.shop() or 'This shop'}, store {where}", LINES

    def keys(self) -> list[str]:
        return ["Enter choose", "Esc back", "? keys", "q quit"]

    def choose(self, name: str) -> None:
        getattr(self, f"_{name.replace('-', '_')}")()

    def _pressing(self) -> None:
        from tui.screens.findings import FindingsScreen

        self.app.push_screen(FindingsScreen(self.desk, by_urgency=True))

    def _newest(self) -> None:
        from tui.screens.findings import FindingsScreen

        self.app.push_screen(FindingsScreen(self.desk))

    def _counts(self) -> None:
        from tui.screens.counts import CountsScreen

        self.app.push_screen(CountsScreen(self.desk))

    def _conflicts(self) -> None:
        from tui.screens.conflicts import ConflictsScreen

        self.app.push_screen(ConflictsScreen(self.desk))

    def _aircraft(self) -> None:
        from tui.screens.aircraft import AircraftListScreen

        self.app.push_screen(AircraftListScreen(self.desk))

    def _own_pages(self) -> None:
        from tui.screens.own_pages import OwnPagesScreen

        self.app.push_screen(OwnPagesScreen(self.desk))

    def _import(self) -> None:
        from tui.screens.importing import ImportScreen

        self.app.push_screen(ImportScreen(self.desk))

    def _merge(self) -> None:
        from tui.screens.swapping import ask_merge

        ask_merge(self)

    def _csv(self) -> None:
        from tui.screens.swapping import ask_export

        ask_export(self, self.desk.exporting.to_csv, "CSV")

    def _jsonl(self) -> None:
        from tui.screens.swapping import ask_export

        ask_export(self, self.desk.exporting.to_jsonl, "JSON Lines")

    def _pack(self) -> None:
        from tui.screens.swapping import ask_pack

        ask_pack(self)

    def _name_shop(self) -> None:
        from tui.screens.keeping import ask_name

        ask_name(self)

    def _check(self) -> None:
        from tui.screens.keeping import check

        check(self)

    def _backup(self) -> None:
        from tui.screens.keeping import ask_backup

        ask_backup(self)
