"""Tables 4-6, 4-9, 4-10 and 4-11 of AC 43.13-1B as printed: bend radii, and rivets to an inch of width. Data alone."""

from __future__ import annotations

FASTENERS = ("3/32", "1/8", "5/32", "3/16", "1/4", "an3-bolt")
"""The columns: rivet diameters of 2117 protruding head, then AN-3 bolts."""

Row = tuple[float | None, ...]

TABLE_4_9: dict[float, Row] = {
    0.016: (6.5, 4.9, None, None, None, None),
    0.020: (6.9, 4.9, 3.9, None, None, None),
    0.025: (8.6, 4.9, 3.9, None, None, None),
    0.032: (11.1, 6.2, 3.9, 3.3, None, None),
    0.036: (12.5, 7.0, 4.5, 3.3, 2.4, None),
    0.040: (13.8, 7.7, 5.0, 3.5, 2.4, 3.3),
    0.051: (None, 9.8, 6.4, 4.5, 2.5, 3.3),
    0.064: (None, 12.3, 8.1, 5.6, 3.1, 3.3),
    0.081: (None, None, 10.2, 7.1, 3.9, 3.3),
    0.091: (None, None, 11.4, 7.9, 4.4, 3.3),
    0.102: (None, None, 12.8, 8.9, 4.9, 3.4),
    0.128: (None, None, None, 11.2, 6.2, 3.2),
}
"""AC 43.13-1B table 4-9, page 4-37 [read]: 2014-T6, 2024-T3, -T36, 7075-T6, bare or clad. Sheet in inches.

Misprint: AN-3 bolts at 0.128 reads 3.2; the table's own note (70,000 psi sheet, 2,126 lb bolt) gives 4.2.
"""

MISPRINT_4_9 = (0.128, "an3-bolt", 3.2, 4.2)
"""Sheet, column, printed, by the table's own note: the higher is used."""

TABLE_4_10: dict[float, Row] = {
    0.016: (6.5, 4.9, None, None, None, None),
    0.020: (6.5, 4.9, 3.9, None, None, None),
    0.025: (6.9, 4.9, 3.9, None, None, None),
    0.032: (8.9, 4.9, 3.9, 3.3, None, None),
    0.036: (10.0, 5.6, 3.9, 3.3, 2.4, None),
    0.040: (11.1, 6.2, 4.0, 3.3, 2.4, None),
    0.051: (None, 7.9, 5.1, 3.6, 2.4, 3.3),
    0.064: (None, 9.9, 6.5, 4.5, 2.5, 3.3),
    0.081: (None, 12.5, 8.1, 5.7, 3.1, 3.3),
    0.091: (None, None, 9.1, 6.3, 3.5, 3.3),
    0.102: (None, None, 10.3, 7.1, 3.9, 3.3),
    0.128: (None, None, 12.9, 8.9, 4.9, 3.3),
}
"""AC 43.13-1B table 4-10, page 4-38 [read]: 2017, 2017 alclad, 2024-T3 alclad. Misprint: the heading of the copy read
says 1017 alclad; 2017 is meant."""

TABLE_4_11: dict[float, Row] = {
    0.016: (6.3, 4.7, None, None, None, None),
    0.020: (6.3, 4.7, 3.8, None, None, None),
    0.025: (6.3, 4.7, 3.8, None, None, None),
    0.032: (6.3, 4.7, 3.8, 3.2, None, None),
    0.036: (7.1, 4.7, 3.8, 3.2, 2.4, None),
    0.040: (7.9, 4.7, 3.8, 3.2, 2.4, None),
    0.051: (10.1, 5.6, 3.8, 3.2, 2.4, None),
    0.064: (12.7, 7.0, 4.6, 3.2, 2.4, None),
    0.081: (None, 8.9, 5.8, 4.0, 2.4, 3.2),
    0.091: (None, 10.0, 6.5, 4.5, 2.5, 3.2),
    0.102: (None, 11.2, 7.3, 5.1, 2.8, 3.2),
    0.128: (None, None, 9.2, 6.4, 3.5, 3.2),
}
"""AC 43.13-1B table 4-11, page 4-39 [read]: 5052, all hardnesses. Its bearing values (6.3, 4.7, 3.8, 3.2) lie 3 to 4 %
under what its own note of 160 % gives (6.5, 4.9, 3.9, 3.3); the printed figures are used, and the result says so."""

BEND_SHEETS = (0.016, 0.032, 0.064, 0.128, 0.182, 0.258)
"""The columns of table 4-6, sheet in inches."""

Times = tuple[tuple[float, float], ...]

TABLE_4_6: dict[str, Times] = {
    "2024-0": ((0, 0), (0, 1), (0, 1), (0, 1), (0, 1), (0, 1)),
    "2024-T3": ((1.5, 3), (2, 4), (3, 5), (4, 6), (4, 6), (5, 7)),
    "2024-T6": ((2, 4), (3, 5), (3, 5), (4, 6), (5, 7), (6, 10)),
    "5052-0": ((0, 0), (0, 0), (0, 1), (0, 1), (0, 1), (0, 1)),
    "5052-H32": ((0, 0), (0, 0), (0.5, 1), (0.5, 1.5), (0.5, 1.5), (0.5, 1.5)),
    "5052-H34": ((0, 0), (0, 0), (0.5, 1.5), (1.5, 2.5), (1.5, 2.5), (2, 3)),
    "5052-H36": ((0, 1), (0.5, 1.5), (1, 2), (1.5, 3), (2, 4), (2, 4)),
    "5052-H38": ((0.5, 1.5), (1, 2), (1.5, 3), (2, 4), (3, 5), (4, 6)),
    "6061-0": ((0, 0), (0, 1), (0, 1), (0, 1), (0, 1), (0, 1)),
    "6061-T4": ((0, 1), (0, 1), (0.5, 1.5), (1, 2), (1.5, 3), (2.5, 4)),
    "6061-T6": ((0, 1), (0.5, 1.5), (1, 2), (1.5, 3), (2, 4), (3, 4)),
    "7075-0": ((0, 0), (0, 1), (0, 1), (0.5, 1.5), (1, 2), (1.5, 3)),
    "7075-T6": ((2, 4), (3, 5), (4, 6), (5, 7), (5, 7), (6, 10)),
}
"""AC 43.13-1B table 4-6, page 4-14 [read]: recommended inside radii for 90 degree bends, in times the thickness, from
the least to the most. The columns of the 7075-0 row could not be aligned with certainty: it judges nothing."""

UNSURE_ROW = "7075-0"
