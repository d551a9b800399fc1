"""Pages of the shop's own: from a finding to a page that is found, and no word of it lost."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.desk import Desk
from kb.entries.folder import Folder
from kb.entries.single import LARGEST
from kb.entries.skeleton import MARK
from kb.entries.writing import as_toml
from kb.errors import DataProblems, KbError, NotFound, UsageProblem
from kb.model import Entry, OwnPage, ShopEntry
from kb.page import lay_out
from kb.store import Store
from kb.store.merge import Incoming
from tests.conftest import HOSTILE, Ran

Run = Callable[..., Ran]
TAPE = "thread-tape-in-fuel-fittings"
SETTINGS = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)


@pytest.fixture
def page(seed: Folder) -> Entry:
    """A good page under an id that no seed page has."""
    return msgspec.structs.replace(seed.entries[TAPE], id="blue-gel-in-strainer", title="Zorbic gel in the strainer")


def load_seed(store: Store, entries: list[Entry]) -> None:
    """Load a folder's pages as a start of the program does."""
    systems, words = store.entries.systems(), store.entries.words()
    store.entries.replace_seed(entries, systems, words, fingerprint="other")


def fill(skeleton: str) -> str:
    """Put words of the test's own wherever a skeleton wants some."""
    answers = {
        "nature": "wrong-compound", "urgency": "before-flight", "sense": "seen", "how_common": "rare", "access": "open",
        "class": "minor", "checked": "common-practice", "document": "common practice", "where": "",
        "place": "the tanks",
    }  # fmt: skip
    raw: dict[str, Any] = tomllib.loads(skeleton)

    def filled(value: Any, key: str = "") -> Any:
        if isinstance(value, dict):
            return {name: filled(one, name) for name, one in value.items()}
        if isinstance(value, list):
            return [filled(one, key) for one in value]
        return answers.get(key, f"said of {key}") if isinstance(value, str) and MARK in value else value

    raw = filled(raw) | {"jasc": ["28"], "construction": ["any"]}
    raw["looks"][0]["minutes"] = 5
    for number, cause in enumerate(raw["causes"]):
        often = ("always", "never") if number else ("never", "always")
        cause |= {"id": f"cause-{number}", "signs": dict(zip(("as-found", "other-sign"), often, strict=True))}
    import tomli_w

    return tomli_w.dumps(raw)


def test_a_finding_becomes_a_page(desk: Desk) -> None:
    """Its text a sign, its action the first steps; refused until filled, found when kept."""
    finding = desk.findings.add(
        "Zorbic gel in the strainer bowl", airframe="A", system="fuel", action="drained it\n\nflushed it", place="bowl"
    )
    skeleton = desk.own_pages.skeleton(finding.id[-8:])
    raw = tomllib.loads(skeleton)
    assert (raw["id"], raw["system"]) == ("zorbic-gel-the-strainer-bowl", "fuel")
    assert raw["signs"][0]["text"] == "Zorbic gel in the strainer bowl"
    assert raw["remedy"]["steps"] == ["drained it", "flushed it"]
    assert raw["look_also"][0]["place"] == "bowl"
    with pytest.raises(DataProblems) as caught:
        desk.own_pages.keep(skeleton)
    problems = caught.value.problems
    assert len(problems) == skeleton.count(f'"{MARK}') + 1  # and the minutes
    lines = skeleton.splitlines()
    assert all(MARK in lines[one.line - 1] for one in problems if one.field in ("nature", "hazard", "sources.2.says"))
    kept = desk.own_pages.keep(fill(skeleton), who="kp")
    desk.findings.link(finding.id, [kept.page])
    hit = desk.search.ask("zorbic gel").hits[0]
    assert (hit.id, hit.origin) == (kept.page, "shop")


def test_it_is_marked_wherever_it_shows(desk: Desk, run_cli: Run, page: Entry, tmp_path: Path) -> None:
    """The page, its JSON, a hit and its JSON; a seed page is not."""
    file = tmp_path / "page.toml"
    file.write_text(as_toml(page), encoding="utf-8")
    assert run_cli("own-page", "keep", str(file)).out == "blue-gel-in-strainer\n"
    assert "the shop's own page  |  fuel" in run_cli("show", page.id).out
    assert run_cli("show", page.id, "--json").data["origin"] == "shop"
    assert "blue-gel-in-strainer  (fuel)  the shop's own page" in run_cli("ask", "zorbic", "gel").out
    assert run_cli("ask", "zorbic", "gel", "--json").data[0]["origin"] == "shop"
    assert "the shop's own page" not in run_cli("show", TAPE).out
    assert "origin" not in run_cli("show", TAPE, "--json").data
    assert isinstance(desk.library.page(page.id), ShopEntry)
    assert lay_out(page).facts.startswith("fuel")


def test_no_file_says_of_itself_whose_page_it_is(desk: Desk, page: Entry) -> None:
    """The store knows where it came from."""
    with pytest.raises(DataProblems, match="origin: is not a field"):
        desk.own_pages.keep('origin = "seed"\n' + as_toml(page))


def test_the_id_of_a_seed_page_is_refused(desk: Desk, seed: Folder) -> None:
    """With the line, and what to do."""
    with pytest.raises(DataProblems, match="is the id of a page that came with the program; give yours an id of its"):
        desk.own_pages.keep(as_toml(seed.entries[TAPE]))
    assert desk.own_pages.list() == []


def test_a_page_keeps_the_rules_of_the_seed_folder(desk: Desk, page: Entry) -> None:
    """All problems at once: links, codes, limits, verdicts."""
    link = msgspec.structs.replace(page.look_also[0], entry="nowhere", place=None)
    wrong = msgspec.structs.replace(
        page, jasc=("9999",), limits=("no-such-limit",), hazard="It is airworthy.", look_also=(link,)
    )
    with pytest.raises(DataProblems) as caught:
        desk.own_pages.keep(as_toml(wrong))
    said = str(caught.value)
    for part in ("is no page", "is no code of system fuel", "is none of the limits", "gives a verdict"):
        assert part in said
    assert desk.store.pages.all() == []


def test_a_page_may_link_to_pages_of_the_shop_and_of_the_seed(desk: Desk, page: Entry) -> None:
    """Both are pages."""
    desk.own_pages.keep(as_toml(page))
    link = msgspec.structs.replace(page.look_also[0], entry=page.id, place=None)
    other = msgspec.structs.replace(page, id="other-page", look_also=(*page.look_also, link))
    assert desk.own_pages.keep(as_toml(other)).page == "other-page"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "a",
        "[" * 100_000,
        "x = " + "9" * 5000,
        "format = 1",
        b"\xff\xfe",
        b"\0",
        "x" * (LARGEST + 1),
        'id = "\\u0000"',
    ],
)
def test_what_is_no_page_is_refused(desk: Desk, text: str | bytes) -> None:
    """With its problems, never with anything else."""
    with pytest.raises(DataProblems):
        desk.own_pages.keep(text)


def test_a_file_that_cannot_be_read_is_refused(desk: Desk, tmp_path: Path) -> None:
    """In one sentence."""
    for path in (tmp_path, tmp_path / "nowhere.toml", Path("/dev/zero"), tmp_path / "a\0b"):
        with pytest.raises(UsageProblem):
            desk.own_pages.keep(path)


def test_each_change_is_kept_and_can_be_gone_back_to(desk: Desk, page: Entry) -> None:
    """The same once more is no change; going back is a new record."""
    first = desk.own_pages.keep(as_toml(page), who="kp")
    changed = msgspec.structs.replace(page, hazard="It burns.")
    second = desk.own_pages.keep(as_toml(changed))
    assert desk.own_pages.keep(as_toml(changed)) == second
    assert desk.library.page(page.id).hazard == "It burns."
    restored = desk.own_pages.restore(page.id, first.id[-8:])
    assert [one.body for one in desk.own_pages.history(page.id)] == [page, changed, page]
    assert restored.id > second.id > first.id
    assert desk.library.page(page.id).hazard == page.hazard
    with pytest.raises(NotFound, match="no record of this page"):
        desk.own_pages.restore(page.id, "ffffffff")


def test_a_withdrawn_page_is_not_found_by_search_but_is_there(desk: Desk, page: Entry) -> None:
    """Links still lead to it, and it can be brought back."""
    first = desk.own_pages.keep(as_toml(page))
    desk.own_pages.withdraw(page.id, who="kp")
    assert page.id not in [hit.id for hit in desk.search.ask("zorbic gel").hits]
    assert desk.library.page(page.id).is_withdrawn
    assert desk.own_pages.list()[0].state == "withdrawn"
    with pytest.raises(UsageProblem, match="is withdrawn already"):
        desk.own_pages.withdraw(page.id)
    desk.own_pages.restore(page.id, first.id)
    assert desk.search.ask("zorbic gel").hits[0].id == page.id


def test_the_index_follows_every_change(desk: Desk, page: Entry) -> None:
    """The stamp of the pages is another one."""
    stamps = [desk.store.entries.stamp()]
    desk.own_pages.keep(as_toml(page))
    stamps.append(desk.store.entries.stamp())
    desk.own_pages.keep(as_toml(msgspec.structs.replace(page, hazard="It burns.")))
    stamps.append(desk.store.entries.stamp())
    assert len(set(stamps)) == 3


def test_loading_the_seed_folder_again_leaves_the_pages_of_the_shop(desk: Desk, seed: Folder, page: Entry) -> None:
    """And makes none of them twice."""
    desk.own_pages.keep(as_toml(page))
    load_seed(desk.store, list(seed.entries.values()))
    assert desk.store.entries.ids(origin="shop") == [page.id]
    assert desk.own_pages.list()[0].state == "stands"


def test_a_seed_page_of_the_same_id_stands_before_it_and_loses_nothing(desk: Desk, seed: Folder, page: Entry) -> None:
    """The shop is told; its page stands again under an id of its own, or when the seed page goes."""
    desk.own_pages.keep(as_toml(page))
    theirs = msgspec.structs.replace(page, title="The page that came later")
    load_seed(desk.store, [*seed.entries.values(), theirs])
    assert desk.library.page(page.id) == theirs
    standing = desk.own_pages.list()[0]
    assert (standing.state, standing.page.body) == ("displaced", page)
    moved = desk.own_pages.file(page.id).replace(f'id = "{page.id}"', 'id = "our-gel"', 1)
    assert desk.own_pages.keep(moved).page == "our-gel"
    load_seed(desk.store, list(seed.entries.values()))
    assert desk.store.entries.ids(origin="shop") == [page.id, "our-gel"]


def test_records_from_elsewhere_are_taken_once_and_the_latest_counts(desk: Desk, page: Entry, tmp_path: Path) -> None:
    """In whatever order they come."""
    desk.own_pages.keep(as_toml(page))
    desk.own_pages.keep(as_toml(msgspec.structs.replace(page, hazard="It burns.")))
    records = desk.store.pages.all()
    other = Desk.open(tmp_path / "other.db")
    assert [other.store.merge.take(Incoming(pages=some)).pages for some in ([records[1]], records, records)] == [
        1,
        1,
        0,
    ]
    assert other.store.pages.all() == records
    assert other.library.page(page.id).hazard == "It burns."


def test_a_kept_record_cannot_be_changed(desk: Desk, page: Entry) -> None:
    """The table forbids it."""
    desk.own_pages.keep(as_toml(page))
    for statement in ("UPDATE pages SET body = ''", "DELETE FROM pages"):
        with pytest.raises(KbError, match="never changed or removed"), desk.store._file.writing() as db:
            db.execute(statement)


def test_every_seed_page_comes_back_from_its_file_as_it_was(seed: Folder) -> None:
    """All of them, field by field."""
    for entry in seed.entries.values():
        assert msgspec.convert(tomllib.loads(as_toml(entry)), Entry) == entry


@SETTINGS
@given(
    hazard=st.text(min_size=1, max_size=300) | st.sampled_from(HOSTILE).map(lambda text: text[:300]),
    words=st.lists(st.text(min_size=1, max_size=40), max_size=4),
    withdrawn=st.dates() | st.none(),
)
def test_any_text_comes_back_from_a_file_exactly(
    seed: Folder, hazard: str, words: list[str], withdrawn: date | None
) -> None:
    """And the file can be shown as it is: nothing hidden stands in it."""
    hazard, words = (hazard.encode("utf-8", "replace").decode(), [w.encode("utf-8", "replace").decode() for w in words])
    entry = msgspec.structs.replace(seed.entries[TAPE], hazard=hazard, words=tuple(words), withdrawn=withdrawn)
    text = as_toml(entry)
    assert msgspec.convert(tomllib.loads(text), Entry) == entry
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2066-\u2069\u2028\ufeff]", text)


@SETTINGS
@given(text=st.text(min_size=1, max_size=900) | st.sampled_from(HOSTILE), action=st.text(max_size=900) | st.none())
def test_any_finding_becomes_a_skeleton_that_is_toml(desk: Desk, text: str, action: str | None) -> None:
    """With an id that no page has, refused only for what is to be said."""
    try:
        finding = desk.findings.add(text, airframe="A", action=action)
    except KbError:
        return
    skeleton = desk.own_pages.skeleton(finding.id)
    assert tomllib.loads(skeleton)["id"] not in desk.store.entries.ids()
    with pytest.raises(DataProblems):
        desk.own_pages.keep(skeleton)


@SETTINGS
@given(data=st.data())
def test_a_page_with_any_value_anywhere_is_kept_or_refused_with_problems(desk: Desk, page: Entry, data: Any) -> None:
    """Nothing but the project's own errors."""
    raw = tomllib.loads(as_toml(page))
    values = (
        st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | st.dates() | st.datetimes()
    )
    odd = st.recursive(values, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=9), inner))
    for name in data.draw(st.lists(st.sampled_from(sorted(raw)), min_size=1, max_size=3)):
        raw[name] = data.draw(odd.filter(_can_be_toml))
    import tomli_w

    try:
        kept = desk.own_pages.keep(tomli_w.dumps(raw))
    except DataProblems:
        return
    assert desk.own_pages.history(kept.page)[-1].body == kept.body


def _can_be_toml(value: Any) -> bool:
    import tomli_w

    try:
        tomllib.loads(tomli_w.dumps({"x": value}))
    except (TypeError, ValueError):
        return False
    return True


def test_the_commands_do_what_the_desk_does(run_cli: Run, tmp_path: Path) -> None:
    """From the finding to the page and back to the file."""
    assert run_cli("own-page", "list").exit_code == 1
    name = run_cli("add", "--airframe", "A", "--system", "fuel", "Zorbic gel in the bowl").out.strip()[-8:]
    skeleton = run_cli("own-page", "new", name).out
    file = tmp_path / "page.toml"
    file.write_text(skeleton, encoding="utf-8")
    refused = run_cli("own-page", "keep", str(file))
    assert (refused.exit_code, refused.out) == (3, "")
    assert "page.toml:" in refused.err
    file.write_text(fill(skeleton), encoding="utf-8")
    kept = run_cli("own-page", "keep", str(file), "--who", "kp", "--json").data
    assert "stands" in run_cli("own-page", "list").out
    assert run_cli("own-page", "list", "--json").data[0]["state"] == "stands"
    text = run_cli("own-page", "file", kept["page"]).out
    assert msgspec.convert(tomllib.loads(text), Entry) == msgspec.convert(kept, OwnPage).body
    assert run_cli("own-page", "withdraw", kept["page"]).exit_code == 0
    assert "withdrawn: Zorbic gel in the bowl" in run_cli("own-page", "history", kept["page"]).out
    assert run_cli("own-page", "restore", kept["page"], kept["id"][-8:]).out.strip() == kept["page"]
    assert run_cli("own-page", "file", TAPE).exit_code == 1
