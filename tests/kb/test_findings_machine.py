"""Whatever a shop does in whatever order, the store says what a plain model of it says, and histories only grow."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from kb.desk import Desk
from kb.errors import UsageProblem
from kb.keeping import Keeping
from kb.model import Content
from tests.kb.writers import FOLDER

Said = dict[str, Any]

WORDS = st.text("abz é\n'%", min_size=1, max_size=12).map(str.strip).filter(bool)
AIRFRAMES = st.sampled_from(["A", "B 00123"])
NUMBERS = st.integers(0, 99)
"""Which of the findings, or of the revisions, is meant: counted round."""


class Shop(RuleBasedStateMachine):
    """The store, and beside it a plain list of what each finding said after each act."""

    template: Path

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(dir=self.template.parent))
        self.path = self.folder / "shop.db"
        shutil.copy(self.template, self.path)
        self.desk = Desk.open(self.path, entries=FOLDER)
        self.pages = {page.id: page.system for page in self.desk.store.entries.all()}
        self.said: dict[str, list[Said]] = {}
        self.ids: dict[str, list[str]] = {}
        self.acts: list[tuple[str, Said]] = []
        """What can be undone: the finding, and what it is to say again."""

    @initialize(text=WORDS, airframe=AIRFRAMES)
    def first(self, text: str, airframe: str) -> None:
        """A shop has something."""
        self.add(text, airframe, 0)

    @rule(text=WORDS, airframe=AIRFRAMES, pages=NUMBERS)
    def add(self, text: str, airframe: str, pages: int) -> None:
        """Keep a finding, linked to none, one or both pages."""
        entries = tuple(self.pages)[: pages % 3]
        finding = self.desk.findings.add(text, airframe=airframe, entries=entries)
        content = {"text": text, "airframe": airframe, "entries": entries, "state": "open"}
        self.said[finding.id] = [self._with_system(content)]
        self.acts.append((finding.id, self.said[finding.id][0] | {"state": "withdrawn"}))

    @rule(which=NUMBERS, place=WORDS | st.none(), minutes=NUMBERS | st.none(), airframe=AIRFRAMES)
    def revise(self, which: int, place: str | None, minutes: int | None, airframe: str) -> None:
        """Change or empty fields."""
        name = self._one(which)
        self.desk.findings.revise(name, place=place, minutes=minutes, airframe=airframe)
        self._act(name, place=place, minutes=minutes, airframe=airframe)

    @rule(which=NUMBERS, page=NUMBERS)
    def link(self, which: int, page: int) -> None:
        """Link to a page, whether linked before or not."""
        name, page_id = self._one(which), list(self.pages)[page % len(self.pages)]
        self.desk.findings.link(name, [page_id])
        linked = tuple(dict.fromkeys([*self.said[name][-1].get("entries", ()), page_id]))
        self._act(name, entries=linked)

    @rule(which=NUMBERS, why=WORDS, is_deferred=st.booleans())
    def close(self, which: int, why: str, is_deferred: bool) -> None:
        """Defer or correct; what was done is said below what stood there."""
        name = self._one(which)
        if is_deferred:
            self.desk.findings.defer(name, why=why)
        else:
            self.desk.findings.correct(name, action=why)
        before = self.said[name][-1].get("action")
        action = f"{before}\n{why}" if before else why
        self._act(name, state="deferred" if is_deferred else "corrected", action=action)

    @rule(which=NUMBERS)
    def reopen(self, which: int) -> None:
        """Open again; refused when open."""
        name = self._one(which)
        if self.said[name][-1]["state"] == "open":
            with pytest.raises(UsageProblem, match="open already"):
                self.desk.findings.reopen(name)
        else:
            self.desk.findings.reopen(name)
            self._act(name, state="open")

    @rule(which=NUMBERS)
    def withdraw(self, which: int) -> None:
        """Take out of the lists."""
        name = self._one(which)
        self.desk.findings.withdraw(name)
        self._act(name, state="withdrawn")

    @rule(which=NUMBERS, revision=NUMBERS)
    def restore(self, which: int, revision: int) -> None:
        """Say again what was said before."""
        name = self._one(which)
        number = revision % len(self.said[name])
        self.desk.history.restore(name, self.ids[name][number])
        self._act(name, **_full(self.said[name][number]))

    @precondition(lambda self: self.acts)
    @rule()
    def undo(self) -> None:
        """The finding says again what it said before the last act that still stands."""
        name, before = self.acts.pop()
        self.desk.history.undo()
        self.said[name].append(before)

    @precondition(lambda self: not self.acts)
    @rule()
    def undo_nothing(self) -> None:
        """Refused when every act is taken back."""
        with pytest.raises(UsageProblem, match="nothing to undo"):
            self.desk.history.undo()

    @invariant()
    def every_history_is_as_it_was_said(self) -> None:
        """All revisions are there in order; those known before are the same ones; the latest is what lists show."""
        for name, said in self.said.items():
            steps = self.desk.history.of(name)
            ids = [step.revision.id for step in steps]
            assert [_content(step.revision) for step in steps] == [_full(one) for one in said]
            assert ids == sorted(ids)
            assert ids[: len(self.ids.get(name, []))] == self.ids.get(name, [])
            assert [step.is_head for step in steps] == [False] * (len(steps) - 1) + [True]
            assert self.desk.findings.get(name).revision == ids[-1]
            self.ids[name] = ids
        listed = [finding.id for finding in self.desk.findings.all()]
        wanted = [name for name, said in self.said.items() if said[-1]["state"] != "withdrawn"]
        assert listed == sorted(wanted, reverse=True)

    def teardown(self) -> None:
        """The store is whole at the end."""
        assert Keeping(self.path).check().problems == ()
        shutil.rmtree(self.folder)

    def _one(self, which: int) -> str:
        return list(self.said)[which % len(self.said)]

    def _act(self, name: str, **changed: Any) -> None:
        before = self.said[name][-1]
        self.acts.append((name, before))
        self.said[name].append(self._with_system(before | changed))

    def _with_system(self, content: Said) -> Said:
        entries = content.get("entries", ())
        system = content.get("system") or (self.pages[entries[0]] if entries else None)
        return content | {"system": system}


def _full(said: Said) -> Said:
    return _content(Content(**said))


def _content(content: Content) -> Said:
    return {name: getattr(content, name) for name in Content.__struct_fields__}


@pytest.mark.parametrize(("examples", "steps"), [(15, 20), pytest.param(200, 50, marks=pytest.mark.slow)])
def test_the_store_says_what_a_plain_model_says(tmp_path: Path, examples: int, steps: int) -> None:
    """Add, revise, link, defer, correct, reopen, withdraw, restore and undo in any order."""
    Shop.template = tmp_path / "template.db"
    Desk.open(Shop.template, entries=FOLDER)
    chosen = settings(
        max_examples=examples,
        stateful_step_count=steps,
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
    )
    run_state_machine_as_test(Shop, settings=chosen)
