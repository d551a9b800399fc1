"""Which findings stand on which kept shelf: the many older ones on one, the newer ones on another."""

from __future__ import annotations

import msgspec

from kb.search.settings import FOLDS


class Span(msgspec.Struct, frozen=True):
    """Revisions numbered above `after` up to `up_to`, and the folder of their shelf."""

    after: int
    up_to: int
    folder: str


def kept_spans(last: int, fold_in: int) -> list[Span]:
    """Return the spans that are kept when `last` is the newest revision; what is above them is held in memory.

    >>> [(span.after, span.up_to) for span in kept_spans(33_500, 1000)]
    [(0, 32000), (32000, 33000)]
    """
    folded = last - last % fold_in
    settled = folded - folded % (fold_in * FOLDS)
    spans = (Span(0, settled or folded, "findings"), Span(settled, folded, "newer-findings"))
    return [span for span in spans if span.up_to > span.after and (span.after or span.folder == "findings")]


def stamp_of(span: Span, mark: str) -> str:
    """Return what tells the shelf of a span from others; `mark` is the store's mark at the end of the span.

    No revision ever changes, so the last one vouches for all before it.
    """
    return f"{span.after}-{mark}"
