"""The numbers of the ranking, each with where it comes from. One engine, several settings."""

from __future__ import annotations

import msgspec


class Settings(msgspec.Struct, frozen=True):
    """How words are weighed and scores are smoothed.

    saturation (k1): how soon more of the same word stops counting. length_share (b), 0 to 1: how much a long field is
    held against its words. scale: steps of one unit of impact, since impacts are kept as whole numbers up to 65,535.
    neighbours, power, share: a record takes `share` of its score from its `neighbours` nearest records, weighed by
    cosine to the `power`; no smoothing when `neighbours` is 0.
    """

    saturation: float
    length_share: float
    scale: int
    neighbours: int = 0
    power: float = 1.0
    share: float = 0.0


PAGES = Settings(saturation=4.0, length_share=0.3, scale=48, neighbours=5, power=3.0, share=0.1)
"""Long pages in many fields, one of them right. Chosen on the odd questions of tests/questions.toml."""

FINDINGS = Settings(saturation=1.6, length_share=0.5, scale=16)
"""Short records by the hundred thousand. With these numbers the impact of a word in more than one of DENSE_FROM records
stays below 128 (16 x ln(20) x 2.6 = 125), so that its column fits one byte a record and two can be added as bytes."""

COLLECTION = Settings(saturation=2.5, length_share=0.7, scale=48, neighbours=12, power=4.0, share=0.5)
"""Abstracts of which many answer a question. Chosen on the odd Cranfield questions (tests/bench/cranfield.py)."""

DENSE_FROM = 20
"""A word in more than one of so many records is kept as a column instead of a list. At 16 questions of eight words take
five in a hundred longer, at 24 no less, with a larger index. Chosen by tests/bench/scale.py."""

DENSE_SIZE = 65_536
"""Records from which on columns are kept; below, lists are as quick. Chosen by tests/bench/search.py."""

FOLDS = 32
"""Folds in the shelf of newer findings before they are folded into the large one, which at a million takes long."""

FOLD_IN = 1000
"""Findings outside the kept index from which on it is rebuilt; below, reading them costs under 20 ms."""
