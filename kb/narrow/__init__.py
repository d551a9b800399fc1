"""Narrow: which cause is it, and what to look at next. Records in, records out; no store, no screen, no search."""

from kb.narrow.airframe import is_trait, read_nature, with_nature, without_nature
from kb.narrow.case import build_case
from kb.narrow.looks import next_looks, open_signs
from kb.narrow.records import NONE, Answer, Candidate, Case, CaseLook, CaseSign, Nature, Page, Session
from kb.narrow.session import effects, find_sign, fitting, put, undo
from kb.narrow.verdict import judge
from kb.narrow.weigh import shares

__all__ = [
    "NONE",
    "Answer",
    "Candidate",
    "Case",
    "CaseLook",
    "CaseSign",
    "Nature",
    "Page",
    "Session",
    "build_case",
    "effects",
    "find_sign",
    "fitting",
    "is_trait",
    "judge",
    "next_looks",
    "open_signs",
    "put",
    "read_nature",
    "shares",
    "undo",
    "with_nature",
    "without_nature",
]
