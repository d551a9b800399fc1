"""Narrowing down a cause: makes a case of a question, a page or a finding, takes answers, and keeps the session.

It brings together what search, store and kb.narrow know. It weighs nothing itself: kb.narrow does.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from msgspec.structs import replace

from kb.errors import KbError, NotFound, UsageProblem
from kb.findings import Findings
from kb.ids import handle, new_id
from kb.kept import KeptSession, body_of, kept_sessions, read_body
from kb.library import Library
from kb.limits.judge import judge as judge_limit
from kb.limits.model import Result
from kb.limits.registry import get_limit
from kb.measured import measured_sign, said_by, unsettled_words, verdict_words
from kb.model import Entry, Finding
from kb.narrow import (
    Answer,
    Case,
    Nature,
    Page,
    Session,
    build_case,
    find_sign,
    fitting,
    without_nature,
)
from kb.narrow import put as put_answer
from kb.narrow import undo as undo_answer
from kb.narrow.records import Matched, Said
from kb.narrowed import Narrowed, stand, with_answers
from kb.narrowtelling import effect_words, nature_words, short, undo_words
from kb.store import Store

PAGES = 8
"""Pages of a question that compete. kb.narrow.words.NONE_SHARE was measured for the first eight hits."""

LEAST_MATCH = 0.0001
"""The least match of a page; a hit's score is rounded to four places and may read 0."""

QUESTION_LIMIT = 10_000
"""Characters of a question that are read; the same as for ask."""

UNKNOWN = Nature()

_AN_ID = re.compile(r"[0-9a-f][0-9a-f-]{7,35}")

FindPages = Callable[[str, int], Iterable[tuple[str, float]]]
"""Finds the pages that fit a question: ids with their match, 0 to 1, best first, at most so many."""


class NothingToNarrow(KbError, LookupError):
    """No page fits the question, so there are no causes to tell apart."""

    exit_code = 1

    def __init__(self) -> None:
        super().__init__("nothing fits that question; say what you see, where, and what it is made of")


class Narrowing:
    """Starts, answers, takes back, keeps and reopens. Safe to use from several threads."""

    def __init__(self, store: Store, find_pages: FindPages) -> None:
        self._store = store
        self._find_pages = find_pages

    # starting

    def start(self, text: str, *, nature: Nature = UNKNOWN) -> Narrowed:
        """Narrow what the text names: a page by its id, a finding by its id or the end of it, or else a question.

        Raises:
            UsageProblem: the text is empty.
            NothingToNarrow: no page fits.
        """
        text = _clean(text)
        if not text:
            raise UsageProblem(f"there is nothing to narrow; say what you see, or name a page{self._hint()}")
        if self._store.entries.some([text]):
            return self.start_page(text, nature=nature)
        if _AN_ID.fullmatch(text.lower()):
            try:
                return self.start_finding(text, nature=nature)
            except NotFound:
                pass  # a word that only looks like an id
        return self._start(text, self._asked(text), nature)

    def start_page(self, entry_id: str, *, nature: Nature = UNKNOWN) -> Narrowed:
        """Narrow the causes of one page.

        Raises:
            NotFound: no page has this id; it names the nearest ones.
            UsageProblem: the page is withdrawn.
        """
        entry = Library(self._store).page(_clean(entry_id))
        return self._start(entry.title, [Matched(entry.id, 1.0)], nature)

    def start_finding(self, name: str, *, nature: Nature = UNKNOWN) -> Narrowed:
        """Narrow a finding: the pages it is linked to, or those that fit its text; the session belongs to it.

        What `nature` leaves open is taken from what the shop keeps of the airframe, save its years: a record gives the
        year it was built, not when it was last rebuilt.

        Raises:
            NotFound: no finding is called so.
            NothingToNarrow: it has no page, and none fits its text.
        """
        finding = self._finding(name)
        pages = [Matched(entry, 1.0) for entry in finding.entries] or self._asked(_clean(finding.text))
        known = self._known(finding.airframe, nature)
        return replace(self._start(_clean(finding.text), pages, known), finding=finding.id)

    def nature_of(self, narrowed: Narrowed, nature: Nature) -> Narrowed:
        """Return the same session for an airframe of this nature; what is not known of it moves no cause."""
        answers = without_nature(narrowed.session.answers, nature)
        dropped = {answer.sign for answer in narrowed.session.answers} - {answer.sign for answer in answers}
        touched = [sign for sign in narrowed.touched if sign not in dropped]
        session = replace(narrowed.session, answers=answers, **_told(nature))
        moved = self._open(narrowed.id, session, touched, narrowed.finding)
        return replace(moved, note=nature_words(narrowed, moved))

    # answering

    def answer(self, narrowed: Narrowed, sign: str, said: Said, *, by: str | None = None) -> Narrowed:
        """Return the session with this answer; an earlier one about the same sign is replaced.

        Raises:
            NotFound: the case has no such sign; it names the nearest ones.
        """
        found = find_sign(narrowed.case, _clean(sign)).id
        answers = put_answer(narrowed.session.answers, Answer(found, said, by))
        moved = with_answers(narrowed, answers, (*_without(narrowed.touched, found), found))
        return replace(moved, note=effect_words(moved, moved.effects[-1]))

    def measure(self, narrowed: Narrowed, name: str, typed: Mapping[str, str]) -> tuple[Narrowed, Result]:
        """Judge inputs as typed by a limit, and take the verdict as the answer about the sign it settles.

        Args:
            name: the limit, or the sign, where the limit settles several signs of the case.

        Raises:
            UsageProblem, NotFound: see `kb.measured.measured_sign` and `kb.limits.judge.judge`.
        """
        sign, limit = measured_sign(narrowed.case, _clean(name))
        result = judge_limit(get_limit(limit.id), {**limit.given, **typed})
        return self.take(narrowed, sign.id, result), result

    def take(self, narrowed: Narrowed, sign: str, result: Result) -> Narrowed:
        """Return the session with a limit's verdict as the answer about a sign; one that settles nothing says why.

        Raises:
            NotFound: the case has no such sign; it names the nearest ones.
        """
        found = find_sign(narrowed.case, _clean(sign))
        said = said_by(found, result)
        if said is None:
            return replace(narrowed, note=unsettled_words(found, result))
        return self.answer(narrowed, found.id, said, by=verdict_words(result))

    def pass_over(self, narrowed: Narrowed, sign: str) -> Narrowed:
        """Return the session with a sign that cannot be looked at: it is not offered again and moves no cause.

        Raises:
            NotFound: the case has no such sign; it names the nearest ones.
        """
        found = find_sign(narrowed.case, _clean(sign)).id
        answers = undo_answer(narrowed.session.answers, found)
        moved = with_answers(narrowed, answers, (*_without(narrowed.touched, found), found))
        return replace(moved, note=f"not looked at: {short(moved.sign_text(found), 64)}\nNo cause moves.")

    def undo(self, narrowed: Narrowed) -> Narrowed:
        """Return the session without the last answer or pass; unchanged but for its note when there is none."""
        if not narrowed.touched:
            return replace(narrowed, note="there is nothing to take back")
        *kept, last = narrowed.touched
        was_answer = last not in narrowed.passed
        effect = narrowed.effects[-1] if was_answer else None
        moved = with_answers(narrowed, undo_answer(narrowed.session.answers, last), tuple(kept))
        return replace(moved, note=undo_words(moved, last, effect))

    # keeping

    def keep(self, narrowed: Narrowed) -> None:
        """Keep the session in the place of what was kept of it before; one transaction."""
        body = body_of(narrowed.session, narrowed.touched)
        self._store.sessions.put(body, session=narrowed.id, finding=narrowed.finding)

    def reopen(self, name: str) -> Narrowed:
        """Return a kept session, by its id or the end of it, on the pages and the shop's counts of today.

        Raises:
            NotFound: none or more than one is called so.
            SessionUnreadable: it was written by another version.
            UsageProblem: none of its pages is left.
        """
        identifier, finding, body = self._store.sessions.get(_clean(name).lower())
        session, touched = read_body(identifier, body)
        return self._open(identifier, session, touched, finding)

    def attach(self, narrowed: Narrowed, name: str) -> Narrowed:
        """Make the session belong to a finding, keep it so, and return it.

        Raises:
            NotFound: no finding is called so.
        """
        finding = self._finding(name)
        attached = replace(narrowed, finding=finding.id, note=f"belongs to finding {handle(finding.id)}")
        self.keep(attached)
        return attached

    def kept(self, *, limit: int = 20) -> list[KeptSession]:
        """Return the kept sessions, the last changed first; those this program cannot read are left out."""
        return kept_sessions(self._store.sessions, limit)

    # inside

    def _asked(self, text: str) -> list[Matched]:
        found = [Matched(name, min(max(score, LEAST_MATCH), 1.0)) for name, score in self._find_pages(text, PAGES)]
        if not found:
            raise NothingToNarrow
        return found

    def _start(self, question: str, pages: Sequence[Matched], nature: Nature) -> Narrowed:
        return self._open(new_id(), Session(1, question, tuple(pages), **_told(nature)), (), None)

    def _open(self, identifier: str, session: Session, touched: Sequence[str], finding: str | None) -> Narrowed:
        case = self._case(session)
        answers, forgotten = fitting(case, session.answers)
        known = {sign.id for sign in case.signs}
        narrowed = stand(
            identifier, case, replace(session, answers=answers), tuple(sign for sign in touched if sign in known)
        )
        return replace(narrowed, finding=finding, forgotten=forgotten)

    def _case(self, session: Session) -> Case:
        matches = {page.entry: page.match for page in session.pages}
        entries = self._store.entries.some(matches)
        pages = [Page(entry, matches[entry.id]) for entry in entries]
        names = [f"{entry.id}/{cause.id}" for entry in entries for cause in entry.causes]
        return build_case(
            pages,
            self._store.findings.tallies(names),
            constructions=session.constructions,
            owners=self._owners(entries, matches),
        )

    def _owners(self, entries: Sequence[Entry], inside: Iterable[str]) -> dict[str, Entry]:
        named = {cause.entry for entry in entries for cause in entry.causes if cause.entry} - set(inside)
        return {entry.id: entry for entry in self._store.entries.some(sorted(named))}

    def _known(self, airframe: str, nature: Nature) -> Nature:
        kept = self._store.airframes.get(airframe)
        if kept is None:
            return nature
        built = (kept.construction,) if kept.construction and kept.construction != "any" else ()
        outdoors = kept.outdoors if nature.outdoors is None else nature.outdoors
        return Nature(nature.constructions or built, nature.years, outdoors)

    def _finding(self, name: str) -> Finding:
        return Findings(self._store).get(_clean(name))

    def _hint(self) -> str:
        newest = self.kept(limit=3)
        named = ", ".join(f"--session {handle(one.id)} ({short(one.question, 30)})" for one in newest)
        return f", or reopen: {named}" if named else ""


def _told(nature: Nature) -> dict[str, Any]:
    """Return what a session keeps of the nature of an airframe."""
    return {name: getattr(nature, name) for name in nature.__struct_fields__}


def _without(touched: Sequence[str], sign: str) -> tuple[str, ...]:
    return tuple(one for one in touched if one != sign)


def _clean(text: str) -> str:
    # Half a character, as broken input bytes arrive, cannot be stored.
    return " ".join(text[:QUESTION_LIMIT].encode("utf-8", "replace").decode().split())
