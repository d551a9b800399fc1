"""Signs that a limit settles: each of the seed pages, measured once so that it shows and once so that it does not."""

from __future__ import annotations

import pytest

from kb.desk import Desk
from kb.entries.files import default_folder
from kb.entries.folder import Folder, load_folder
from kb.errors import DataProblems
from kb.limits import all_limits
from kb.measured import measured_sign

MEASURED: list[tuple[str, str, str, str]] = [
    ("acrylic-cracks-from-tight-screws", "hole-tight", "screw=3/16 hole=0.2", "screw=3/16 hole=5/16"),
    ("turnbuckle-threads-showing", "four-out", "side-a=1 side-b=4", "side-a=3 side-b=3"),
    ("automotive-switch-on-lamp-load", "under-rated", "system=12 current=3 rating=10", "system=12 current=2 rating=10"),
    (
        "breaker-too-big-for-wire",
        "rating-mismatch",
        "gauge=20 device=breaker fitted=20",
        "gauge=20 device=breaker fitted=5",
    ),
    ("ground-strap-on-paint-or-magnesium", "high-joint-ohms", "resistance=0.0031_ohm", "resistance=3_milliohm"),
    ("wire-bundle-strapped-to-fuel-line", "no-gap", "distance=5.9", "distance=6"),
    ("wires-through-raw-bulkhead-edge", "close-to-rim", "clearance=0.3", "clearance=3/8"),
    ("low-compression-on-one-cylinder", "low-hot", "reading=50 maker-data=no", "reading=70 maker-data=no"),
    ("fabric-seam-open-or-wrong-kind", "long-stitch", "per-inch=3", "per-inch=5 lock-every=8"),
    (
        "fabric-weak-under-sound-coating",
        "strip-low",
        "wing-loading=9 never-exceed=100 measured=40",
        "wing-loading=9 never-exceed=100 measured=70",
    ),
    ("engine-fires-with-switch-off", "runs-in-off", "engine=fires-on", "engine=stops fall=250"),
    (
        "vacuum-filter-choked-or-hose-collapsed",
        "gauge-low",
        "suction=4 type-low=4.6 type-high=5.4",
        "suction=5 type-low=4.6 type-high=5.4",
    ),
    ("registration-marks-wrong-size", "tight-gaps", "height=12 gap=1", "height=12 gap=2"),
    ("automotive-flare-on-aircraft-fitting", "angle-wide", "angle=45", "angle=37"),
    (
        "line-chafed-for-want-of-clamps",
        "depth-over",
        "wall=.035 depth=.004 place=elsewhere",
        "wall=.035 depth=.003 place=elsewhere",
    ),
    (
        "cadmium-hardware-in-exhaust-heat",
        "far-from-heat",
        "nut=cadmium-plated temperature=300",
        "nut=cadmium-plated temperature=500",
    ),
    ("static-line-open-or-leaking", "leak-measured", "lost=150 basis=part-23", "lost=100 basis=part-23"),
    (
        "empty-weight-not-kept-up",
        "scales-disagree",
        "change=5 empty-weight=1169",
        "change=1 empty-weight=1169 shift=0.02",
    ),
    (
        "spinner-wobbles-or-cracked",
        "tips-not-in-plane",
        "difference=1/8 maker-limit=1/16",
        "difference=1/32 maker-limit=1/16",
    ),
    ("patch-rivets-crowded-or-too-few", "near-edge", "diameter=1/8 distance=0.2", "diameter=1/8 distance=1/4"),
    (
        "patch-rivets-crowded-or-too-few",
        "wide-pitch",
        "sheet=2024-T3-alclad thickness=0.032 fastener=1/8 width=10 fitted=20",
        "sheet=2024-T3-alclad thickness=0.032 fastener=1/8 width=10 fitted=49",
    ),
    ("lumber-yard-wood-in-spar-or-rib", "grain-runs-out", "run=14 zone=outer-eighth", "run=18 zone=outer-eighth"),
    ("plywood-patch-outside-its-limits", "splay-too-big", "thickness=1/16 hole=2", "thickness=1/16 hole=1/2"),
    ("spar-splice-in-wrong-place", "crowded", "first=20 second=30 gap=60", "first=20 second=30 gap=90"),
    ("aluminium-bolt-in-loaded-joint", "under-ten", "size=no-8", "size=no-10"),
    ("locknut-turns-by-fingers", "low-reading", "thread=1/2-20 prevailing=9", "thread=1/2-20 prevailing=10"),
    (
        "bolt-overtorqued-by-guess",
        "slot-forced",
        "thread=1/4-28 nut=tension-castle drag=8 torque=120",
        "thread=1/4-28 nut=tension-castle drag=8 torque=60",
    ),
]


def _inputs(text: str) -> dict[str, str]:
    pairs = (word.partition("=") for word in text.split())
    return {name: value.replace("_", " ") for name, _, value in pairs}


def test_every_sign_that_a_limit_settles_is_measured_here(seed: Folder) -> None:
    """So that none is declared without being tried."""
    declared = {(entry.id, sign.id) for entry in seed.entries.values() for sign in entry.signs if sign.limit}
    assert declared == {(page, sign) for page, sign, _, _ in MEASURED}


@pytest.mark.parametrize(("page", "sign", "shows", "shows_not"), MEASURED)
def test_a_measurement_settles_its_sign_both_ways(desk: Desk, page: str, sign: str, shows: str, shows_not: str) -> None:
    """The verdict is that of the limit, and the answer says what it rests on."""
    start = desk.narrow.start(page)
    _, limit = measured_sign(start.case, sign)
    for typed, said in ((shows, "seen"), (shows_not, "not-seen")):
        moved, result = desk.narrow.measure(start, sign, _inputs(typed))
        answer = moved.session.answers[-1]
        assert (answer.sign, answer.said) == (f"{page}/{sign}", said), result.sentence
        assert answer.by is not None
        assert limit.id in answer.by
        assert result.caution in answer.by


def test_a_sign_whose_limit_there_is_not_is_refused() -> None:
    """With the nearest name."""
    known = all_limits().keys() - {"hand-stitches"} | {"hand-stitching"}
    with pytest.raises(DataProblems) as caught:
        load_folder(default_folder(), limits=known)
    told = {problem.field: problem.remedy for problem in caught.value.problems if "fabric-seam" in problem.path}
    assert "did you mean hand-stitching" in told["signs.2.limit"]
