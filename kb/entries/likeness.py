"""Near-copies: paragraphs of different pages that say the same in almost the same letters."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from kb.entries.places import Path
from kb.entries.wording import texts_of
from kb.model import Entry

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Paragraph = tuple[str, Path, str]
"""Id of the page, path of the field, and the text in small letters with single blanks."""

ALIKE = 90.0
"""From this ratio on two are alike: 0-100, 100 is identical; twice the longest common subsequence over both lengths."""

_COLUMNS = 20
"""Chosen by the clock: with fewer more pairs pass to the comparing, with more the counting takes longer."""


def paragraphs_of(entries: Mapping[str, Entry]) -> list[Paragraph]:
    """Return every paragraph of the pages; lists of materials are names of things, not sentences, and are left out."""
    return [
        (entry.id, path, " ".join(text.split()).casefold())
        for entry in entries.values()
        for path, text in texts_of(entry)
        if path[:2] != ("remedy", "materials")
    ]


def near_copies(
    paragraphs: Sequence[Paragraph], *, least: float = ALIKE
) -> Iterator[tuple[Paragraph, Paragraph, float]]:
    """Yield each pair from different pages with a ratio of `least` or more, exactly as comparing all with all would.

    Two texts can only be so alike if their lengths are, and if their letters are: the ratio is 1 - d / (m + n) for
    d insertions and deletions between texts of m and n characters, and each of these changes the count of one letter by
    one, so the counts differ by d at most. Both bounds are cheap; only pairs that pass both are compared.

    Yields:
        The shorter text first; in order of length, then page and place.
    """
    import numpy as np
    from rapidfuzz.fuzz import ratio

    rows = sorted(paragraphs, key=lambda row: (len(row[2]), row[0], [str(part) for part in row[1]]))
    counts = _letter_counts([text for _, _, text in rows])
    lengths = np.array([len(text) for _, _, text in rows], dtype=np.int32)
    share = 1 - least / 100
    longest = np.searchsorted(lengths * (1 - share), lengths * (1 + share) + 1e-6, side="right")
    for first, (page, _, text) in enumerate(rows):
        others = slice(first + 1, int(longest[first]))
        changed = np.abs(counts[others] - counts[first]).sum(axis=1)
        for step in np.flatnonzero(changed <= share * (lengths[others] + len(text)) + 1e-6):
            other = rows[first + 1 + int(step)]
            if other[0] != page and (score := ratio(text, other[2], score_cutoff=least)) >= least:
                yield rows[first], other, score


def check_likeness(
    entries: Mapping[str, Entry], report: Callable[[str, Path, str, str], None], *, least: float = ALIKE
) -> None:
    """Report each near-copy at the page whose id comes later, naming the other."""
    for one, other, score in near_copies(paragraphs_of(entries), least=least):
        (kept, _, _), (page, path, _) = sorted((one, other), key=lambda row: row[0])
        report(page, path, f"is {score:.0f} in 100 the same as a paragraph of '{kept}'", "say it in words of this page")


def _letter_counts(texts: Sequence[str]) -> NDArray[np.int16]:
    """Return how often each letter stands in each text: int16, (n_texts, _COLUMNS); rare letters share columns."""
    import numpy as np

    rank = [letter for letter, _ in Counter("".join(texts)).most_common()]
    column = {letter: number % _COLUMNS for number, letter in enumerate(rank)}
    counts = np.zeros((len(texts), _COLUMNS), dtype=np.int16)
    for row, text in enumerate(texts):
        for letter, times in Counter(text).items():
            counts[row, column[letter]] += times
    return counts
