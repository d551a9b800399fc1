"""Tables are read out of files as shops have them, and out of hostile ones; columns, days and words are understood."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from kb.errors import FileRefused, KbError, UsageProblem
from kb.exchange.cells import Systems, is_day, order_of, read_day, read_number, read_state
from kb.exchange.columns import guess_columns
from kb.exchange.delimited import LINE_LIMIT
from kb.exchange.importing import Importing
from kb.exchange.table import COLUMN_LIMIT, open_table
from kb.store import Store

HEADER = "Tail no,Date found,Squawk"
ROW = "A-1,2020-03-31,oil weeps at the élbow"


def write(path: Path, content: str | bytes, encoding: str = "utf-8") -> Path:
    """Write a file and return its path."""
    path.write_bytes(content if isinstance(content, bytes) else content.encode(encoding))
    return path


def rows_of(path: Path) -> list[list[str]]:
    """Return header and rows of the table in a file."""
    table = open_table(path)
    return [list(table.headers), *(cells for _, cells in table.rows())]


def book(path: Path, *sheets: Any) -> Path:
    """Write a workbook with these sheets and return its path."""
    made = Workbook()
    made.remove(made.active)  # type: ignore[arg-type]
    for number, rows in enumerate(sheets):
        sheet = made.create_sheet(f"sheet {number}")
        for row in rows:
            sheet.append(row)
    made.save(path)
    return path


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_delimiter_encoding_and_line_ends_are_told(tmp_path: Path, encoding: str, delimiter: str, end: str) -> None:
    """Of a small table with one letter outside ASCII."""
    lines = [HEADER, ROW, ROW, ""]
    path = write(tmp_path / "a.csv", end.join(lines).replace(",", delimiter), encoding)
    assert rows_of(path) == [HEADER.split(","), ROW.split(","), ROW.split(",")]


def test_a_last_letter_outside_ascii_tells_the_encoding_too(tmp_path: Path) -> None:
    """Half of a letter of UTF-8 at the very end is a whole one of Windows-1252."""
    assert rows_of(write(tmp_path / "a.csv", "reg,squawk\nA,frott\xe9", "cp1252"))[1] == ["A", "frotté"]


def test_commas_in_running_text_do_not_hide_another_delimiter(tmp_path: Path) -> None:
    """The character that cuts most rows alike is taken."""
    text = "Date;Discrepancy\n1.2.2020;worn, frayed, loose\n2.2.2020;leaks, a little\n3.2.2020;fine\n"
    assert rows_of(write(tmp_path / "a.csv", text))[1] == ["1.2.2020", "worn, frayed, loose"]


def test_a_title_above_the_header_is_passed_over(tmp_path: Path) -> None:
    """Rows keep the numbers they have in the file."""
    table = open_table(write(tmp_path / "a.csv", f"The list of our shop,,\n\n{HEADER}\n{ROW}\n"))
    assert table.headers == tuple(HEADER.split(","))
    assert [number for number, _ in table.rows()] == [4]


def test_headers_are_told_apart(tmp_path: Path) -> None:
    """Empty ones and those that are there twice get a number."""
    table = open_table(write(tmp_path / "a.csv", "Text,,Text,a\n1,2,3,4\n"))
    assert table.headers == ("Text", "column 2", "Text (2)", "a")


def test_a_workbook_gives_values_only(tmp_path: Path) -> None:
    """Days as days, whole numbers without a point, formulas by what they came to; the first sheet with rows."""
    rows = [
        ["Date", "TT", "ATA", "Text"],
        [datetime(2020, 3, 31), 12.5, 28, "=1+1"],
        [date(2020, 4, 1), 13.0, "27", ""],
    ]
    path = book(tmp_path / "a.xlsx", [], rows, [["other"]])
    assert rows_of(path) == [["Date", "TT", "ATA", "Text"], ["2020-03-31", "12.5", "28"], ["2020-04-01", "13", "27"]]
    assert open_table(path).told == "XLSX, sheet sheet 1; not read: sheet 0, sheet 2"


def test_json_lines_of_others_become_columns(tmp_path: Path) -> None:
    """Keys are headers; a line that is no object becomes a row that cannot be kept."""
    path = write(tmp_path / "a.jsonl", '{"reg": "A", "defect": "x\\ny"}\n\n{"defect": 5, "more": [1]}\n7\n')
    header, *rows = rows_of(path)
    assert header == ["reg", "defect", "more"]
    assert rows[:2] == [["A", "x\ny", ""], ["", "5", "[1]"]]
    assert len(rows[2]) > len(header)


def _bomb() -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", "<x/>")
        archive.writestr("xl/worksheets/sheet1.xml", b" " * 50_000_000)
    return packed.getvalue()


def _zip(**members: str) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name, text in members.items():
            archive.writestr(name.replace("__", "/"), text)
    return packed.getvalue()


HOSTILE_FILES: dict[str, tuple[Callable[[], bytes], str]] = {
    "empty": (lambda: b"", "is empty"),
    "blank lines": (lambda: b"\n \n,,\n", "holds no row"),
    "binary": (lambda: bytes(range(256)) * 50, "no table|not written in"),
    "picture": (lambda: b"\xff\xd8\xff\xe0\x00\x10JFIF" + b"\x00\x81\x9d" * 900, "no table"),
    "one huge line": (lambda: b"text\n" + b"x" * (LINE_LIMIT + 5), "line of more than"),
    "one huge cell": (lambda: b'text\n"' + b"x\n" * 200_000, "cannot be read"),
    "open quote": (lambda: b'reg,squawk\nA,"leaks\nB,worn\n', "row 2 .* a quote is left open"),
    "too many columns": (lambda: b",".join([b"a"] * 10_000) + b"\n", f"more than {COLUMN_LIMIT}"),
    "too many keys": (lambda: b"{" + b",".join(b'"%d":1' % n for n in range(999)) + b"}", f"more than {COLUMN_LIMIT}"),
    "old workbook": (lambda: b"\xd0\xcf\x11\xe0" + b"\0" * 500, "old kind"),
    "zip of something else": (lambda: _zip(a="b"), "no XLSX workbook"),
    "broken zip": (lambda: b"PK\x03\x04" + b"x" * 100, "damaged"),
    "workbook of nothing": (lambda: _zip(xl__workbook_xml="<x/>".replace("_xml", ".xml")), "no XLSX"),
    "swollen workbook": (_bomb, "would unpack"),
    "half a letter in UTF-16": (lambda: b"\xff\xfea\x00\n\x00\x00\xd8", "not written in"),
}


@pytest.mark.parametrize("name", HOSTILE_FILES)
def test_a_hostile_file_is_refused_in_one_sentence(name: str, tmp_path: Path) -> None:
    """Before anything large is held in memory."""
    make, said = HOSTILE_FILES[name]
    path = write(tmp_path / "file.csv", make())
    with pytest.raises(FileRefused, match=said) as refused:
        list(open_table(path).rows())
    assert "\n" not in str(refused.value)


def test_a_cell_of_fifty_megabytes_is_refused(tmp_path: Path) -> None:
    """By its line, of which no more than the limit is read."""
    path = tmp_path / "file.csv"
    with path.open("wb") as file:
        file.write(b"tail no,squawk\nA,")
        for _ in range(50):
            file.write(b"x" * 1_000_000)
    with pytest.raises(FileRefused, match="line of more than"):
        list(open_table(path).rows())


@pytest.mark.parametrize("name", [".", "nowhere.csv", "\0"])
def test_what_is_no_file_is_refused(name: str, tmp_path: Path) -> None:
    """A folder, nothing, and a name that there cannot be."""
    with pytest.raises(FileRefused):
        open_table(tmp_path / name)


def test_entities_in_a_workbook_are_refused(tmp_path: Path) -> None:
    """An XML bomb within a workbook is not unfolded."""
    good = book(tmp_path / "good.xlsx", [["Squawk", "b"], ["x", "y"]])
    bad = tmp_path / "bad.xlsx"
    with zipfile.ZipFile(good) as source, zipfile.ZipFile(bad, "w") as target:
        for name in source.namelist():
            body = source.read(name)
            if name == "xl/worksheets/sheet1.xml":
                entity = b'<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>'
                body = entity + body.replace(b"<sheetData>", b"<sheetData><!-- &b; -->")
            target.writestr(name, body)
    with pytest.raises(FileRefused, match="damaged"):
        open_table(bad)


def test_a_workbook_that_lies_about_its_size_is_read_by_its_rows(tmp_path: Path) -> None:
    """Its declared range is nobody's word, and a row number beyond any sheet ends it."""
    good = book(tmp_path / "good.xlsx", [["Squawk", "b"], ["x", "y"]])
    bad = tmp_path / "bad.xlsx"
    with zipfile.ZipFile(good) as source, zipfile.ZipFile(bad, "w") as target:
        for name in source.namelist():
            body = source.read(name).replace(b'<dimension ref="A1:B2"', b'<dimension ref="A1:XFD1048576"')
            target.writestr(name, body.replace(b'<row r="2"', b'<row r="99999999999"'))
    assert rows_of(bad) == [["Squawk", "b"]]


@pytest.mark.parametrize(
    ("headers", "fields"),
    [
        (
            "Tail #|Date|Squawk|Corrective Action|Mech|Tach Time|Status",
            {"airframe": "Tail #", "found": "Date", "text": "Squawk", "action": "Corrective Action", "who": "Mech"}
            | {"hours": "Tach Time", "state": "Status"},
        ),
        (
            "REG|ATA/JASC|Defect|Rectification|Date Found|P/N|Man Hours|Engineer|Open/Closed",
            {"airframe": "REG", "system": "ATA/JASC", "text": "Defect", "action": "Rectification", "who": "Engineer"}
            | {"found": "Date Found", "part": "P/N", "minutes": "Man Hours", "state": "Open/Closed"},
        ),
        ("id|problem|action", {"text": "problem", "action": "action"}),
        ("A/C|Discrepency|Corective action|Due date", {"airframe": "A/C", "text": "Discrepency"}
            | {"action": "Corective action"}),
        ("Part number|Reported by|Date reported|Remarks", {"part": "Part number", "who": "Reported by"}
            | {"found": "Date reported", "text": "Remarks"}),
    ],
)  # fmt: skip
def test_columns_are_guessed_by_their_names(headers: str, fields: dict[str, str]) -> None:
    """As shops head them, misspelt ones among them; what is none of ours is left."""
    guessed = guess_columns(headers.split("|"), [], {})
    assert {guess.field: guess.headers[0] for guess in guessed} == fields


def test_columns_without_a_known_name_are_guessed_by_what_stands_in_them() -> None:
    """A column of days, and the one with the longest running text."""
    sample = [["1", "31.3.2020", "wing root fairing is loose"], ["2", "1.4.2020", "tyre worn on one side"]]
    guessed = guess_columns(["Nr", "Wann", "Was"], sample, {})
    assert {guess.field: (guess.headers, guess.why) for guess in guessed} == {
        "found": (("Wann",), "content"),
        "text": (("Was",), "content"),
    }


def test_a_name_that_the_cells_speak_against_is_not_taken() -> None:
    """A state of a country is no state of a finding."""
    assert guess_columns(["State", "Defect"], [["MI", "worn cable"], ["WA", "loose bolt"]], {})[0].field == "text"
    assert len(guess_columns(["State", "Defect"], [["MI", "worn cable"], ["WA", "loose bolt"]], {})) == 1


def test_man_hours_become_minutes() -> None:
    """By the name of their column."""
    factors = {name: guess_columns([name], [], {})[0].factor for name in ("Man hours", "Labor hrs", "Minutes")}
    assert factors == {"Man hours": 60, "Labor hrs": 60, "Minutes": 1}


@pytest.mark.parametrize(
    ("said", "message"),
    [({"colour": ["a"]}, "there is no field 'colour'"), ({"text": ["Squak"]}, "nearest: Squawk")],
)
def test_a_column_that_there_is_not_is_said(said: dict[str, list[str]], message: str) -> None:
    """With the nearest, or all fields."""
    with pytest.raises(UsageProblem, match=message):
        guess_columns(["Squawk", "b"], [], said)


@pytest.mark.parametrize(
    ("cell", "day"),
    [
        ("1962-04-03", "1962-04-03"), ("19620403", "1962-04-03"), ("1962/4/3 10:30", "1962-04-03"),
        ("3/4/1962", "1962-04-03"), ("3.4.62", "2062-04-03"), ("3-4-71", "1971-04-03"), ("3 Apr 1962", "1962-04-03"),
        ("3-APR-71", "1971-04-03"), ("April 3rd, 1962", "1962-04-03"), ("apr 3 1962", "1962-04-03"),
    ],
)  # fmt: skip
def test_days_are_read_in_the_usual_forms(cell: str, day: str) -> None:
    """The day first where it is said so."""
    assert is_day(cell)
    assert read_day(cell, "day-first") == day


@pytest.mark.parametrize("cell", ["", "yesterday", "31/2/2020", "2020-13-01", "12", "0/0/0000", "3 Foo 1962"])
def test_what_is_no_day_is_said(cell: str) -> None:
    """And how to write one."""
    assert not is_day(cell)
    with pytest.raises(UsageProblem, match="year-month-day"):
        read_day(cell, "day-first")


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["1/2/2020", "13/2/2020"], "day-first"), (["1/2/2020", "2/13/2020"], "month-first"),
        (["1/2/2020", "3/4/2020"], None), (["13/2/2020", "2/13/2020"], None), (["5/5/2020", "2020-01-02"], "day-first"),
    ],
)  # fmt: skip
def test_the_order_of_day_and_month_is_told_by_the_whole_column(cells: list[str], order: str | None) -> None:
    """One row can settle it; where none does, or two disagree, it is asked."""
    assert order_of(cells)[0] == order


@pytest.mark.parametrize(
    ("cell", "number"),
    [("12", 12), ("1,234.5", 1234.5), ("1234,5", 1234.5), ("1 234", 1234), ("2.5 hrs", 2.5), ("90 min", 90)],
)
def test_numbers_are_read_as_shops_write_them(cell: str, number: float) -> None:
    """With thousands set off, a comma, or a unit."""
    assert read_number(cell) == number


@pytest.mark.parametrize(
    ("cell", "state"), [("CLOSED", "corrected"), (" c/w ", "corrected"), ("Carried  forward", "deferred")]
)
def test_words_for_a_state_are_known(cell: str, state: str) -> None:
    """Whatever their letters' case."""
    assert read_state(cell) == state
    with pytest.raises(UsageProblem, match="is no state"):
        read_state("perhaps")


@pytest.mark.parametrize(
    ("cell", "system"),
    [
        ("28", "fuel"), ("ATA 28-10", "fuel"), ("2810", "fuel"), ("Fuel", "fuel"), ("landing-gear", "landing-gear"),
        ("32", "landing-gear"), ("5711", None), ("27-00-00", "controls"), ("55", None), ("99", None), ("wings", None),
    ],
)  # fmt: skip
def test_a_chapter_gives_the_system_it_is_of(seed: Any, cell: str, system: str | None) -> None:
    """Where it is of one alone, or of one that has no other; else nothing is guessed."""
    assert Systems(list(seed.systems.values())).find(cell) == system


@pytest.fixture(scope="module")
def importing(tmp_path_factory: pytest.TempPathFactory) -> Importing:
    """An import into a store that stays empty."""
    return Importing(Store(tmp_path_factory.mktemp("fuzz") / "shop.db"))


PIECES = st.sampled_from(
    [
        *(word.encode() for word in "squawk status id revision text airframe 1/2/2020 31/12/99 =1+1 1e999 row".split()),
        *(b"tail no", b"date found", b"why it was refused", b'{"id":', b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff"),
        *(b",", b";", b"\t", b'"', b'""', b"\n", b"\r", b"\r\n", b"\0", b"{", b"}", b"[", b"\x9d", b"PK\x03\x04"),
    ]
)
FILES = st.one_of(
    st.binary(max_size=300), st.lists(st.one_of(PIECES, st.binary(max_size=4)), max_size=40).map(b"".join)
)


def _survives(importing: Importing, folder: Path, content: bytes) -> None:
    path = write(folder / "fuzz", content)
    try:
        plan = importing.plan(path, airframe="A", order="day-first")
        if not plan.asks:
            importing.run(plan)
    except KbError:
        pass  # said in one sentence
    finally:
        for rest in folder.glob("fuzz*"):
            rest.unlink()


@pytest.mark.parametrize("count", [150, pytest.param(50_000, marks=pytest.mark.slow)])
def test_no_file_ends_an_import_in_another_way_than_ours(
    count: int, importing: Importing, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Any bytes, and pieces of tables in any order: a plan, an import, or one sentence."""
    folder = tmp_path_factory.mktemp("files")

    @settings(max_examples=count, deadline=None, suppress_health_check=list(HealthCheck), database=None)
    @example(b'tail no,squawk\nA,"x\0y"\nB')
    @given(FILES)
    def survives(content: bytes) -> None:
        _survives(importing, folder, content)

    survives()


@pytest.mark.parametrize("count", [40, pytest.param(3_000, marks=pytest.mark.slow)])
def test_no_damage_to_a_workbook_ends_an_import_in_another_way_than_ours(
    count: int, importing: Importing, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Bytes changed in its XML, the zip around it whole."""
    folder = tmp_path_factory.mktemp("books")
    good = book(folder / "good.xlsx", [HEADER.split(","), ROW.split(","), ["A", 5, 1.5]])
    with zipfile.ZipFile(good) as source:
        parts = {name: source.read(name) for name in source.namelist()}

    @settings(max_examples=count, deadline=None, suppress_health_check=list(HealthCheck), database=None)
    @given(st.sampled_from(sorted(parts)), st.floats(0, 0.999), st.binary(max_size=6), st.integers(0, 20))
    def survives(name: str, where: float, put: bytes, cut: int) -> None:
        packed = io.BytesIO()
        with zipfile.ZipFile(packed, "w") as archive:
            for part, body in parts.items():
                place = int(where * len(body))
                archive.writestr(part, body[:place] + put + body[place + cut :] if part == name else body)
        _survives(importing, folder, packed.getvalue())

    survives()


def test_the_limit_of_a_cell_is_not_changed_for_others() -> None:
    """The csv module keeps one for the whole process."""
    assert csv.field_size_limit() == 131_072
