"""Small pages and cases for the tests of narrowing: only what narrowing reads differs from page to page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from hypothesis import strategies as st

from kb.model import Cause, Construction, Entry, HowCommon, Look, Paper, Remedy, Sign, Urgency
from kb.narrow import Answer, Case, Page, build_case
from kb.narrow.words import HOW_OFTEN

_HOW_COMMON: list[HowCommon] = ["common", "occasional", "rare"]
_URGENCIES: list[Urgency] = ["before-flight", "before-return"]


def cause(
    cause_id: str, signs: Mapping[str, str], *, how_common: HowCommon = "common", entry: str | None = None
) -> Cause:
    """Return a cause; its text names it."""
    return Cause(cause_id, f"The cause {cause_id}.", how_common, dict(signs), entry)  # type: ignore[arg-type]


def entry(
    entry_id: str,
    causes: Sequence[Cause],
    *,
    looks: Sequence[tuple[str, int]] = (),
    urgency: Urgency = "before-return",
    construction: Sequence[Construction] = ("any",),
    withdrawn: date | None = None,
) -> Entry:
    """Return a page with these causes, the signs they speak of, and looks (sign, minutes)."""
    signs = dict.fromkeys(sign for one in causes for sign in one.signs)
    return Entry(
        format=1,
        id=entry_id,
        title=f"Page called {entry_id}",
        system="fuel",
        jasc=("28",),
        nature="wear-or-decay",
        urgency=urgency,
        urgency_why=f"Why {entry_id} presses.",
        construction=tuple(construction),
        reviewed=date(2026, 11, 25),
        summary="A page.",
        hazard="A hazard.",
        words=("page",),
        signs=tuple(Sign(sign, "seen", f"The sign {sign} of {entry_id}.") for sign in signs),
        causes=tuple(causes),
        looks=tuple(Look(f"Look for {sign}.", sign, minutes, "panel", "mirror") for sign, minutes in looks),
        remedy=Remedy((), (), (), ()),
        paper=Paper(class_="depends", why="Why.", source="Source"),
        look_also=(),
        sources=(),
        withdrawn=withdrawn,
    )


def page_of(raw: Mapping[str, Any]) -> Page:
    """Return the page of a model of tests/data/narrow_models.json."""
    causes = [
        cause(one["id"], one["signs"], how_common=one["how_common"], entry=one.get("entry")) for one in raw["causes"]
    ]
    return Page(entry(raw["id"], causes), raw["match"])


def answer(sign: str, is_seen: bool = True) -> Answer:
    """Return an answer."""
    return Answer(sign, "seen" if is_seen else "not-seen")


def two_pages() -> Case:
    """Return a case of two pages with two causes each and no links."""
    first = entry(
        "alpha",
        [
            cause("one", {"drip": "always", "stain": "seldom"}),
            cause("two", {"drip": "seldom", "stain": "always"}, how_common="occasional"),
        ],
        looks=[("stain", 30), ("drip", 10)],
        urgency="before-flight",
    )
    second = entry(
        "beta",
        [cause("one", {"smell": "usually", "drip": "never"}), cause("two", {"smell": "never", "drip": "usually"})],
        looks=[("smell", 5)],
    )
    return build_case([Page(first, 0.6), Page(second, 0.5)])


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Draw a case of one to four pages, with links between them and looks for some signs."""
    names = ["alpha", "beta", "gamma", "delta"][: draw(st.integers(1, 4))]
    pages = []
    for name in names:
        signs = ["s1", "s2", "s3"][: draw(st.integers(1, 3))]
        causes = []
        for number in range(draw(st.integers(1, 4))):
            said = {sign: draw(st.sampled_from(sorted(HOW_OFTEN))) for sign in signs}
            owner = draw(st.sampled_from([None, *(other for other in names if other != name), "elsewhere"]))
            how_common = draw(st.sampled_from(_HOW_COMMON))
            causes.append(cause(f"k{number}", said, how_common=how_common, entry=owner))
        looks = [(sign, draw(st.integers(1, 90))) for sign in signs if draw(st.booleans())]
        urgency = draw(st.sampled_from(_URGENCIES))
        pages.append(Page(entry(name, causes, looks=looks, urgency=urgency), draw(st.floats(0.05, 1))))
    return build_case(pages)


def answers_to(case: Case) -> st.SearchStrategy[list[Answer]]:
    """Draw answers to some of the signs of a case, in any order."""
    return st.lists(st.sampled_from(case.signs), unique_by=lambda sign: sign.id).flatmap(
        lambda signs: st.tuples(*(st.builds(answer, st.just(sign.id), st.booleans()) for sign in signs)).map(list)
    )
