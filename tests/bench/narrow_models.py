"""200 random networks and the exact posteriors pgmpy gives for them: `python -m tests.bench.narrow_models`.

Needs pgmpy (1.1.2 wrote the kept file), which the project does not depend on: install it into an environment of its own
together with msgspec. Writes tests/data/narrow_models.json, which tests/kb/test_narrow_exact.py compares with.

Half of the models are flat: one cause, its signs, any numbers. Half are pages: a network page -> cause -> candidate ->
signs whose tables are worked out here, apart from kb.narrow, from random pages, links between pages and tallies.
Only the numbers of kb.narrow.words are shared; the file keeps them, so that a changed number is noticed.
"""

from __future__ import annotations

import json
import random
import sys
from collections.abc import Mapping, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from kb.narrow.words import HOW_COMMON, HOW_OFTEN, MATCH_POWER, NONE_SHARE, NONE_SIGN, TALLY_STRENGTH, UNSAID

FILE = Path(__file__).parent.parent / "data" / "narrow_models.json"
SEED = 20261125
COUNT = 200
NONE = "none-of-these"

Model = dict[str, Any]


def numbers() -> dict[str, Any]:
    """Return the numbers the models were made with."""
    return {
        "how_often": HOW_OFTEN,
        "how_common": HOW_COMMON,
        "match_power": MATCH_POWER,
        "none_share": NONE_SHARE,
        "none_sign": NONE_SIGN,
        "tally_strength": TALLY_STRENGTH,
        "unsaid": UNSAID,
    }


def random_models(count: int, seed: int = SEED) -> list[Model]:
    """Return `count` models without posteriors, flat and pages in turn."""
    dice = random.Random(seed)
    return [_flat(dice) if number % 2 == 0 else _pages(dice) for number in range(count)]


def posterior(model: Model) -> dict[str, float]:
    """Return what pgmpy's variable elimination gives for each candidate."""
    tabular = import_module("pgmpy.factors.discrete").TabularCPD
    chain, tables = _network_of_flat(model) if model["kind"] == "flat" else _network_of_pages(model)
    network = import_module("pgmpy.models").DiscreteBayesianNetwork(
        [(parent, node) for node, (parent, _) in tables.items()]
    )
    root, shares = chain
    states = {root: list(shares)} | {node: list(next(iter(table.values()))) for node, (_, table) in tables.items()}
    network.add_cpds(tabular(root, len(shares), [[shares[s]] for s in shares], state_names={root: states[root]}))
    for node, (parent, table) in tables.items():
        values = [[table[above][state] for above in states[parent]] for state in states[node]]
        names = {node: states[node], parent: states[parent]}
        network.add_cpds(
            tabular(
                node, len(values), values, evidence=[parent], evidence_card=[len(states[parent])], state_names=names
            )
        )
    evidence = {sign: "seen" if seen else "not-seen" for sign, seen in model["answers"].items()}
    eliminate = import_module("pgmpy.inference").VariableElimination(network)
    found = eliminate.query(["candidate"], evidence=evidence, show_progress=False)
    return {state: float(found.get_value(candidate=state)) for state in states["candidate"]}


def _flat(dice: random.Random) -> Model:
    candidates = [f"c{number}" for number in range(dice.randint(2, 9))]
    weights = [dice.uniform(0.01, 1) for _ in candidates]
    signs = {f"page/s{n}": [dice.uniform(0.01, 0.99) for _ in candidates] for n in range(dice.randint(1, 7))}
    priors = dict(zip(candidates, (weight / sum(weights) for weight in weights), strict=True))
    return {"kind": "flat", "priors": priors, "signs": signs, "answers": _answers(dice, list(signs))}


def _pages(dice: random.Random) -> Model:
    names = [f"page-{letter}" for letter in "abcd"[: dice.randint(1, 4)]]
    pages: list[Model] = []
    for name in names:
        links = dice.sample([*(other for other in names if other != name), "page-x", "page-y"], 2)
        signs = [f"s{number}" for number in range(dice.randint(1, 3))]
        causes: list[Model] = []
        for number in range(dice.randint(2, 4)):
            cause: Model = {
                "id": f"k{number}",
                "how_common": dice.choice(list(HOW_COMMON)),
                "signs": {sign: dice.choice(list(HOW_OFTEN)) for sign in signs},
            }
            if number and links and dice.random() < 0.5:
                cause["entry"] = links.pop()
            causes.append(cause)
        pages.append({"id": name, "match": round(dice.uniform(0.2, 1), 3), "signs": signs, "causes": causes})
    tallies = {
        f"{page['id']}/{cause['id']}": dice.randint(1, 12)
        for page in pages
        for cause in page["causes"]
        if dice.random() < 0.3
    }
    every = [f"{page['id']}/{sign}" for page in pages for sign in page["signs"]]
    return {"kind": "pages", "pages": pages, "tallies": tallies, "answers": _answers(dice, every)}


def _answers(dice: random.Random, signs: Sequence[str]) -> dict[str, bool]:
    return {sign: dice.random() < 0.5 for sign in dice.sample(signs, dice.randint(0, len(signs)))}


def _network_of_flat(model: Model) -> tuple[Any, Any]:
    tables: dict[str, Any] = {
        sign: (
            "candidate",
            {
                name: {"seen": chance, "not-seen": 1 - chance}
                for name, chance in zip(model["priors"], chances, strict=True)
            },
        )
        for sign, chances in model["signs"].items()
    }
    return ("candidate", model["priors"]), tables


def _network_of_pages(model: Model) -> tuple[Any, Any]:
    pages = {page["id"]: page for page in model["pages"]}
    strengths = {name: page["match"] ** MATCH_POWER for name, page in pages.items()}
    root = {name: (1 - NONE_SHARE) * weight / sum(strengths.values()) for name, weight in strengths.items()}
    shares = {name: _shares(page, model["tallies"]) for name, page in pages.items()}
    causes = [cause for name in pages for cause in shares[name]]
    of_page = {name: {cause: shares[name].get(cause, 0.0) for cause in [*causes, NONE]} for name in pages}
    of_page[NONE] = {cause: float(cause == NONE) for cause in [*causes, NONE]}
    stands = {f"{n}/{c['id']}": _stands(f"{n}/{c['id']}", c, pages, shares) for n in pages for c in pages[n]["causes"]}
    candidates = sorted({candidate for taken in stands.values() for candidate in taken})
    of_cause = {cause: {one: stands[cause].get(one, 0.0) for one in [*candidates, NONE]} for cause in causes}
    of_cause[NONE] = {one: float(one == NONE) for one in [*candidates, NONE]}
    tables: dict[str, tuple[str, Any]] = {"cause": ("page", of_page), "candidate": ("cause", of_cause)}
    for name, page in pages.items():
        for sign in page["signs"]:
            chances = {one: UNSAID for one in candidates} | {NONE: NONE_SIGN}
            for cause in page["causes"]:
                for one in stands[f"{name}/{cause['id']}"]:
                    chances[one] = HOW_OFTEN[cause["signs"][sign]]
            table = {one: {"seen": chance, "not-seen": 1 - chance} for one, chance in chances.items()}
            tables[f"{name}/{sign}"] = ("candidate", table)
    return ("page", {**root, NONE: NONE_SHARE}), tables


def _shares(page: Model, tallies: Mapping[str, int]) -> dict[str, float]:
    whole = sum(HOW_COMMON[cause["how_common"]] for cause in page["causes"])
    counts = {
        f"{page['id']}/{cause['id']}": TALLY_STRENGTH * HOW_COMMON[cause["how_common"]] / whole
        + tallies.get(f"{page['id']}/{cause['id']}", 0)
        for cause in page["causes"]
    }
    return {name: count / sum(counts.values()) for name, count in counts.items()}


def _stands(name: str, cause: Model, pages: Mapping[str, Model], shares: Mapping[str, Any]) -> dict[str, float]:
    """Return the candidates that stand for a cause, with their parts of it."""
    owner = cause.get("entry")
    if owner is None:
        return {name: 1.0}
    if owner not in pages:
        return {owner: 1.0}
    own = [f"{owner}/{other['id']}" for other in pages[owner]["causes"] if "entry" not in other]
    whole = sum(shares[owner][one] for one in own)
    return {one: shares[owner][one] / whole for one in own}


def main() -> None:
    models = random_models(COUNT)
    for model in models:
        model["posterior"] = posterior(model)
    body = ",\n".join(json.dumps(model, separators=(",", ":")) for model in models)
    FILE.write_text(f'{{"numbers":{json.dumps(numbers())},\n"models":[\n{body}\n]}}\n', encoding="utf-8")
    sys.stdout.write(f"{len(models)} models written to {FILE}\n")


if __name__ == "__main__":
    main()
