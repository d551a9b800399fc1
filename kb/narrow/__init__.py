"""Narrow: which cause is it, and what to look at next. Records in, records out; no store, no screen, no search."""

from kb.narrow.case import build_case
from kb.narrow.looks import next_looks, open_signs
from kb.narrow.records import NONE, Answer, Candidate, Case, CaseLook, CaseSign, Page, Session
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
    "Page",
    "Session",
    "build_case",
    "effects",
    "find_sign",
    "fitting",
    "judge",
    "next_looks",
    "open_signs",
    "put",
    "shares",
    "undo",
]
