"""The one table of narrowing: the pages' words as numbers, and numbers as words. Every number it uses stands here.

No document counts these faults, so the numbers of the first five are choices, each said below with how it was made.
`python -m tests.bench.narrow` prints what the seed pages and our own questions say about them.
"""

from __future__ import annotations

from kb.model import HowCommon, HowOften

HOW_OFTEN: dict[HowOften, float] = {"always": 0.98, "usually": 0.80, "sometimes": 0.40, "seldom": 0.10, "never": 0.02}
"""P(sign seen | cause). Never 0 or 1: a look can miss, and a page can be wrong. Source: DESIGN section 7."""

HOW_COMMON: dict[HowCommon, float] = {"common": 10.0, "occasional": 3.0, "rare": 1.0}
"""Weight of a cause among the causes of its page before any answer. Choice: each word about three times the next, so
that common and rare lie one order of magnitude apart; only the ratios count."""

TALLY_STRENGTH = 10.0
"""How many confirmed causes the page's own shares are worth (the sum of the Dirichlet pseudo-counts of one page).
Choice: with ten confirmed causes of one page the shop's own count weighs as much as the page."""

NONE_SHARE = 0.10
"""Share of "none of these" before any answer. Choice: search leaves the right page out of its first eight hits for
0.3 to 4 in 100 of our own questions, whose askers knew the pages; the rest is for causes that no page names."""

NONE_SIGN = HOW_OFTEN["sometimes"]
"""P(sign seen | none of these): the word nearest to the mean of all statements of the seed pages (0.36)."""

UNSAID = HOW_OFTEN["seldom"]
"""P(sign seen | a cause whose pages do not speak of the sign): the median word of the seed pages, taken over all
statements and equally over those about causes that another page owns."""

TRAIT_UNSAID = 0.5
"""P(the airframe is so | a cause that says nothing of it). Choice: one half, so that knowing it moves only the causes
that do speak of it: "usually" is 1.6 times as likely where it is so, 0.4 times where it is not."""

MATCH_POWER = 5.0
"""A page weighs its search score to this power. Choice: half of what fits our own questions best (9.5 to 13.5),
or less, since a stranger's words find the right page less surely than ours."""

UNFIT = HOW_OFTEN["seldom"]
"""Factor for a page written for another construction than the airframe's. Not 0: many airframes are mixed."""

HAZARD_SHARE = 0.10
"""A page with urgency before-flight whose causes hold more than this together is named before anything else. Choice:
from here on the words of LIKELIHOOD no longer say "very unlikely"."""

SETTLED = 0.90
"""From here on one cause counts as found. Source: the project's goal for narrowing, minutes to 90 % on one cause."""

CLEAR = 0.33
"""Below this the foremost cause does not lead clearly. Choice: from here on LIKELIHOOD no longer says "unlikely"."""

LIKELIHOOD: tuple[tuple[float, str], ...] = (
    (0.99, "virtually certain"),
    (0.90, "very likely"),
    (0.66, "likely"),
    (0.33, "about as likely as not"),
    (0.10, "unlikely"),
    (0.01, "very unlikely"),
    (0.00, "exceptionally unlikely"),
)
"""Least share of each word. Source: IPCC Fourth Assessment Report, Working Group II, front matter section F,
"Description of likelihood"."""

STRENGTH: tuple[tuple[float, str], ...] = ((20.0, "speaks strongly"), (3.0, "speaks"), (1.1, "speaks a little"))
"""Least ratio of each word, for or against. Source: the bounds 3 and 20 are those of Kass and Raftery (1995), as
restated in the manual of the R package pcal, `bfactor_interpret`; 1.1 is a choice: below it nothing is said."""


def likelihood(share: float) -> str:
    """Return the words for a share of 0 to 1.

    >>> likelihood(0.72)
    'likely'
    """
    return next(words for least, words in LIKELIHOOD if share >= least)


def percent(share: float) -> str:
    """Return a share of 0 to 1 in whole per cent; never 0 % or 100 %, which no evidence can give.

    >>> percent(0.999), percent(0.354), percent(0.0001)
    ('over 99 %', '35 %', 'under 1 %')
    """
    if share > 0.99:
        return "over 99 %"
    return "under 1 %" if share < 0.01 else f"{share * 100:.0f} %"


def strength(ratio: float) -> str | None:
    """Return the words for how much likelier an answer is under one cause than under the others; None if hardly.

    >>> strength(24.5), strength(0.2), strength(1.05)
    ('speaks strongly for', 'speaks against', None)
    """
    size = max(ratio, 1 / ratio)
    words = next((words for least, words in STRENGTH if size >= least), None)
    return f"{words} {'for' if ratio > 1 else 'against'}" if words else None
