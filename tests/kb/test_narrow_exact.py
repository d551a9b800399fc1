"""Narrowing computes what exact inference and a textbook compute."""

from __future__ import annotations

import json
from typing import Any

import pytest

from kb.narrow import Case, CaseSign, build_case, shares
from kb.narrow.records import Candidate
from tests.bench import narrow_models
from tests.kb.narrow_pages import answer, page_of

TOLERANCE = 1e-9
KEPT: dict[str, Any] = json.loads(narrow_models.FILE.read_text(encoding="utf-8"))


def _flat_case(priors: dict[str, float], signs: dict[str, list[float]]) -> Case:
    candidates = [
        Candidate(name, name, name, name, "information", "", (name,), prior) for name, prior in priors.items()
    ]
    return Case(
        tuple(candidates),
        tuple(CaseSign(sign, "seen", sign, dict(enumerate(chances))) for sign, chances in signs.items()),
        (),
    )


def _case_of(model: dict[str, Any]) -> Case:
    if model["kind"] == "flat":
        return _flat_case(model["priors"], model["signs"])
    return build_case([page_of(page) for page in model["pages"]], model["tallies"])


def _found(model: dict[str, Any]) -> dict[str, float]:
    case = _case_of(model)
    held = shares(case, [answer(sign, seen) for sign, seen in model["answers"].items()])
    return dict(zip((candidate.id for candidate in case.candidates), held, strict=True))


def test_the_kept_models_were_made_with_the_numbers_of_today() -> None:
    """A changed number needs a new file: python -m tests.bench.narrow_models."""
    assert json.loads(json.dumps(narrow_models.numbers())) == KEPT["numbers"]


def test_posteriors_equal_those_pgmpy_gave_for_200_random_models() -> None:
    """Variable elimination of pgmpy 1.1.2, kept by tests/bench/narrow_models.py; half of them pages with links."""
    assert len(KEPT["models"]) == 200
    assert sum(model["kind"] == "pages" for model in KEPT["models"]) == 100
    for number, model in enumerate(KEPT["models"]):
        assert _found(model) == pytest.approx(model["posterior"], abs=TOLERANCE), number


@pytest.mark.filterwarnings("ignore")
def test_posteriors_equal_those_of_pgmpy_where_it_is_installed() -> None:
    """Fresh models, inferred now; the kept file stands in for them elsewhere."""
    pytest.importorskip("pgmpy", reason="pgmpy is not installed; its kept posteriors are compared instead")
    for number, model in enumerate(narrow_models.random_models(60, seed=7)):
        assert _found(model) == pytest.approx(narrow_models.posterior(model), abs=TOLERANCE), number


# Worked examples of an openly licensed textbook: OpenIntro Statistics, chapter 3, section 3.2 (numbers of examples,
# guided practices and exercises as printed in the text read). Each prints its answer to the places given here.
TEXTBOOK = [
    ("3.2.8, example 3.42", {"ill": 0.0035, "well": 0.9965}, [0.89, 0.07], "ill", 0.0428, 4),
    ("3.2.8, example 3.44", {"a": 0.35, "none": 0.45, "sport": 0.20}, [0.25, 0.05, 0.70], "sport", 0.56, 2),
    ("3.2.8, practice 3.45", {"a": 0.35, "none": 0.45, "sport": 0.20}, [0.25, 0.05, 0.70], "a", 0.35, 2),
    ("3.2.8, practice 3.46", {"a": 0.35, "none": 0.45, "sport": 0.20}, [0.25, 0.05, 0.70], "none", 0.09, 2),
    ("3.2, footnote 36 (c)", {"able": 0.78, "unable": 0.22}, [0.97, 0.57], "able", 0.8578, 4),
    ("3.2, exercise 3.21", {"ill": 0.02, "well": 0.98}, [0.98, 0.26], "ill", 0.0714, 4),
]


@pytest.mark.parametrize(("where", "priors", "chances", "asked", "printed", "places"), TEXTBOOK)
def test_worked_examples_of_a_textbook(
    where: str, priors: dict[str, float], chances: list[float], asked: str, printed: float, places: int
) -> None:
    """The book's answer, to the places the book prints.

    Example 3.42 rounds 0.00312 / 0.07288 on the way, hence one unit of its last place.
    """
    held = shares(_flat_case(priors, {"p/s": chances}), [answer("p/s")])
    found = held[list(priors).index(asked)]
    assert found == pytest.approx(printed, abs=1.01 * 10**-places if "3.42" in where else 0.5 * 10**-places), where


def test_a_thousand_answers_do_not_leave_the_range_of_numbers() -> None:
    """The product of a thousand chances of 2 in 100 is no float; its logarithm is."""
    signs = {f"p/s{number}": [0.02, 0.021] for number in range(1000)}
    held = shares(_flat_case({"a": 0.5, "b": 0.5}, signs), [answer(sign) for sign in signs])
    assert held[1] / held[0] == pytest.approx(1.05**1000, rel=1e-9)
