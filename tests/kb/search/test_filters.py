"""Names an answer is limited to: a mistyped one is told the nearest instead of an empty answer."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from kb.desk import Desk
from kb.errors import NotFound
from kb.search import Filters
from tests.conftest import Ran

Run = Callable[..., Ran]


@pytest.mark.parametrize(
    ("option", "said"),
    [
        (("--system", "feul"), "no system is called 'feul'; nearest: fuel"),
        (("--nature", "wrong-prt"), "no nature is called 'wrong-prt'; nearest: wrong-part"),
        (
            ("--airframe", "Six-Teem"),
            "no airframe with findings is called 'Six-Teem'; nearest: Six-Teen",
        ),
    ],
)
@pytest.mark.parametrize("asked", [("ask", "crack in a rib"), ("like", "enamel-over-dope")], ids=["ask", "like"])
def test_a_mistyped_filter_is_told_the_nearest_name(
    run_cli: Run, asked: tuple[str, ...], option: tuple[str, str], said: str
) -> None:
    """One sentence on standard error and exit code 1, before anything is looked for."""
    run_cli("add", "--airframe", "Six-Teen", "quibblefish")
    ran = run_cli(*asked, *option)
    assert (ran.exit_code, ran.out) == (1, "")
    assert said in ran.err


def test_a_known_name_in_other_letters_is_taken(desk: Desk) -> None:
    """The airframe as people write it."""
    desk.findings.add("cracked quibblefish", airframe="Six-Teen")
    assert len(desk.search.ask("quibblefish", filters=Filters(airframe="SIX-teen")).hits) == 1


def test_hostile_names_are_refused_in_words(desk: Desk) -> None:
    """The sentence is made safe where it is shown."""
    with pytest.raises(NotFound):
        desk.search.ask("crack", filters=Filters(system="\x1b[2J'; DROP TABLE entries; --"))
