"""The laws of merging, over random histories of three shops: order, grouping and repetition change nothing."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import msgspec
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.exchange.pack import Packs
from kb.model import Content, Revision
from kb.store import Store
from kb.store.health import examine
from kb.store.photos import Photo
from tests.kb.packs import picture

SHOPS = range(3)
TEXTS = st.text(min_size=1, max_size=8) | st.sampled_from([f"as on OF-{shop}" for shop in SHOPS])
PICTURES = [picture(colour) for colour in (50, 200)]
LEFT_OUT: list[dict[str, Any]] = [
    {},
    {},
    {"without_who": True},
    {"without_airframe": True},
    {"without_who": True, "without_airframe": True, "with_photos": True},
]

STEPS = st.lists(
    st.one_of(
        st.tuples(st.just("add"), st.sampled_from(SHOPS), TEXTS),
        st.tuples(st.just("revise"), st.sampled_from(SHOPS), st.integers(0, 9), TEXTS),
        st.tuples(st.just("show"), st.sampled_from(SHOPS), st.integers(0, 9), st.sampled_from(PICTURES)),
        st.tuples(st.just("settle"), st.sampled_from(SHOPS), st.integers(0, 9)),
        st.tuples(st.just("airframe"), st.sampled_from(SHOPS), st.integers(1920, 1970)),
        st.tuples(st.just("send"), st.sampled_from(SHOPS), st.sampled_from(SHOPS), st.sampled_from(LEFT_OUT)),
    ),
    min_size=3,
    max_size=14,
)


def said(store: Store) -> tuple[Any, ...]:
    """What a merge may change, and what every list reads."""
    latest = [row.finding for row in store.findings.all()]
    return store.revisions.all(), store.airframes.all(), store.photos.all(), latest, store.revisions.split()


def play(shops: list[Store], step: tuple[Any, ...], folder: Path) -> None:
    """Let one shop do something."""
    act, shop, *rest = step
    store = shops[shop]
    findings = [row.finding.id for row in store.findings.all()]
    if act == "add":
        text = rest[0].encode("utf-8", "replace").decode()
        store.revisions.add(Content(airframe=f"of {shop}", text=text, who="kp"))
    elif act == "airframe":
        store.airframes.change(f"of {shop}", lambda one: msgspec.structs.replace(one, built=rest[0]))
    elif act == "send":
        path = folder / f"{len(list(folder.iterdir()))}.oddpack"
        if findings and rest[0] != shop:
            Packs(store).write(path, **rest[1])
            Packs(shops[rest[0]]).merge(path)
    elif findings:
        finding = findings[rest[0] % len(findings)]
        if act == "revise":
            text = rest[1].encode("utf-8", "replace").decode()
            store.revisions.change([finding], lambda one: msgspec.structs.replace(one, text=text), said="revised")
        elif act == "show":
            shown = store.photos.put([Photo(kind="jpeg", body=rest[1], width=8, height=6, thumbnail=rest[1])])
            store.revisions.change(
                [finding], lambda one: msgspec.structs.replace(one, photos=tuple(shown)), said="revised"
            )
        else:
            chosen: Revision = store.revisions.heads(finding)[-1]
            store.revisions.change([finding], lambda _: chosen, said="restored", joins=True)


def merged(folder: Path, name: str, packs: list[Path]) -> Store:
    """An empty store that took these packs in this order."""
    store = Store(folder / f"{name}.db")
    for pack in packs:
        Packs(store).merge(pack)
    return store


def packed(store: Store, path: Path) -> list[Path]:
    """The pack of a store; none when it has no findings."""
    if store.findings.count() == 0:
        return []
    Packs(store).write(path)
    return [path]


@settings(max_examples=20, deadline=None)
@given(steps=STEPS)
def test_order_grouping_and_repetition_change_nothing(steps: list[tuple[Any, ...]]) -> None:
    """Idempotent, commutative and associative on revisions, aircraft, photos, latest words and conflicts."""
    with tempfile.TemporaryDirectory() as made:
        folder, sent = Path(made), Path(made) / "sent"
        sent.mkdir()
        shops = [Store(folder / f"shop{shop}.db") for shop in SHOPS]
        for step in steps:
            play(shops, step, sent)
        a, b, c = (packed(store, folder / f"{place}.oddpack") for place, store in enumerate(shops))
        in_order = merged(folder, "abc", a + b + c)
        assert said(merged(folder, "cab", c + a + b + a)) == said(in_order)
        left = packed(merged(folder, "ab", a + b), folder / "ab.oddpack")
        right = packed(merged(folder, "bc", b + c), folder / "bc.oddpack")
        assert said(merged(folder, "ab-c", left + c)) == said(in_order)
        assert said(merged(folder, "a-bc", a + right)) == said(in_order)
        assert examine(in_order.path).problems == ()
        for store in shops:
            assert set(store.revisions.all()) <= set(in_order.revisions.all())
