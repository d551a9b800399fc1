"""The numbers of the ranking, each with where it comes from."""

SATURATION = 1.6
"""k1: how soon more of the same word stops counting. Chosen on the odd questions of tests/questions.toml."""

LENGTH_SHARE = 0.5
"""b, 0 to 1: how much a long field is held against its words. Chosen on the odd questions of tests/questions.toml."""

FOLD_IN = 1000
"""Findings outside the kept index from which on it is rebuilt; below, reading them costs under 20 ms."""
