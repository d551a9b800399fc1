"""What holds for every limit: complete descriptions, examples that come out, inputs refused in one sentence."""

from __future__ import annotations

import inspect
import json
import re
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kb.errors import NotFound
from kb.limits import all_limits, draw, judge
from kb.limits.model import Example, Input, Limit, LimitInputProblem, Result, Ruling, compare, to_plain
from kb.limits.units import UNITS
from tests.kb.limits.typing_in import in_other_unit, typed_inputs

LIMITS = list(all_limits().values())
EXAMPLES = [(limit, example) for limit in LIMITS for example in limit.examples]
NUMBERS = [(limit, item) for limit in LIMITS for item in limit.inputs if not item.choices and item.paired_unit is None]
LEFT_OUT = [
    (limit, example, item.name)
    for limit, example in EXAMPLES
    for item in limit.inputs
    if item.optional and item.name in example.inputs and example.verdict in ("within", "at")
]
SYSTEMS = Path(__file__).parents[3] / "seed_entries" / "systems.toml"
UNREADABLE = [
    "nan",
    "inf",
    "-inf",
    "1e999",
    "-1e12",
    "1e12",
    "twelve",
    "5 banana",
    "1/0",
    "5 **9",
    "\x1b[2J",
    "9" * 400,
    "٣",
]

each_limit = pytest.mark.parametrize("limit", LIMITS, ids=lambda limit: limit.id)
each_example = pytest.mark.parametrize(
    ("limit", "example"), EXAMPLES, ids=[f"{limit.id}-{n}" for n, (limit, _) in enumerate(EXAMPLES)]
)


def _texts(limit: Limit) -> list[str]:
    texts = [limit.title, limit.basis, limit.caution, *limit.assumes, *limit.does_not_cover]
    texts += [item.help for item in limit.inputs] + [source.says for source in limit.sources]
    return texts + [example.printed_in for example in limit.examples]


@each_limit
def test_a_limit_is_described_in_full(limit: Limit) -> None:
    """Every field a face shows has text, and the rule takes exactly the inputs."""
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", limit.id)
    assert limit.inputs
    assert limit.sources
    assert limit.assumes
    assert limit.does_not_cover
    assert limit.examples
    assert all(text.strip() and len(text) <= 600 for text in _texts(limit))
    assert list(inspect.signature(limit.rule).parameters) == [item.argument for item in limit.inputs]
    assert all(msgspec.convert(msgspec.to_builtins(item), Input) == item for item in limit.inputs)
    assert all(msgspec.convert(msgspec.to_builtins(item), Example) == item for item in limit.examples)


@each_limit
def test_a_limit_belongs_to_a_system_of_the_pages(limit: Limit) -> None:
    """The systems are those of the entries."""
    assert limit.system in {system["id"] for system in tomllib.loads(SYSTEMS.read_text())["system"]}


@each_limit
def test_a_number_has_a_unit_we_know_and_a_range(limit: Limit) -> None:
    """A face can say what an input takes, and nothing absurd gets through."""
    for item in limit.inputs:
        assert item.unit in UNITS
        assert item.paired_unit is None or item.paired_unit in UNITS
        if not item.choices:
            assert item.lowest is not None
            assert item.highest is not None
            assert item.lowest < item.highest


@each_limit
def test_no_limit_gives_the_verdict_of_the_signer(limit: Limit) -> None:
    """The word of the signer stands in no text of a limit."""
    assert not [text for text in _texts(limit) if "airworth" in text.lower()]


@each_limit
def test_every_source_names_its_paragraph(limit: Limit) -> None:
    """Only common practice may stand without a place."""
    assert all(source.document and (source.where or source.checked == "common-practice") for source in limit.sources)


@each_example
def test_an_example_comes_out_as_printed(limit: Limit, example: Example) -> None:
    """The verdict, and the required value where the example gives it."""
    result = judge(limit, example.inputs)
    assert result.verdict == example.verdict, result.sentence
    if example.required is not None:
        assert result.required == pytest.approx(example.required, rel=1e-4)


@each_example
def test_memory_never_judges(limit: Limit, example: Example) -> None:
    """A verdict stands on statuses read or secondary; what is remembered is only named."""
    result = judge(limit, example.inputs)
    if result.verdict != "not-covered":
        assert {source.checked for source in result.sources} <= {"read", "secondary"}
        assert result.remembered is None


@each_example
def test_a_unit_never_changes_a_verdict(limit: Limit, example: Example) -> None:
    """The same quantities in other units give the same verdict, required value and margin."""
    plain = judge(limit, example.inputs)
    typed = {each.name: each.typed for each in plain.given if each.typed}
    for each in plain.given:
        item = limit.input(each.name)
        if isinstance(each.value, float) and each.typed:
            typed[each.name] = in_other_unit(item, each.value)
    other = judge(limit, typed)
    assert other.verdict == plain.verdict
    assert other.required == (pytest.approx(plain.required) if plain.required is not None else None)


@each_example
def test_a_verdict_flips_exactly_at_the_limit(limit: Limit, example: Example) -> None:
    """Where one input is what is measured: just past the limit is beyond, just inside is not (if the rest allows)."""
    first = judge(limit, example.inputs)
    sense = _sense(limit, first)
    measured = [each for each in first.given if isinstance(each.value, float) and each.value == first.measured]
    if sense == 0 or len(measured) != 1 or not first.required or limit.input(measured[0].name).whole:
        return
    name, step = measured[0].name, 1e-6 * first.required * sense
    inside, past = (judge(limit, {**example.inputs, name: repr(first.required + change)}) for change in (step, -step))
    if inside.required != first.required or past.required != first.required:
        return  # this input also chooses the row of the table; its own tests hold its borders
    assert past.verdict == "beyond"
    if first.verdict in ("within", "at"):
        assert inside.verdict in ("within", "at")


@pytest.mark.parametrize(
    ("limit", "example", "left"), LEFT_OUT, ids=[f"{limit.id}-{left}" for limit, _, left in LEFT_OUT]
)
def test_a_condition_left_unmeasured_is_told(limit: Limit, example: Example, left: str) -> None:
    """Where leaving an input out drops a part of the verdict and the rest still passes, a note says so."""
    short = {name: text for name, text in example.inputs.items() if name != left}
    whole, part = (_rule(limit, judge(limit, typed)) for typed in (example.inputs, short))
    is_judged_less = part.verdict in ("within", "at") and len(part.others) < len(whole.others)
    assert re.search("not measured: |also required|may also ", " ".join(part.notes)) or not is_judged_less


def _rule(limit: Limit, result: Result) -> Ruling:
    return limit.rule(**{limit.input(each.name).argument: each.value for each in result.given})


def _sense(limit: Limit, result: Result) -> int:
    return {"floor": 1, "ceiling": -1, "none": 0}[_rule(limit, result).sense]


@pytest.mark.parametrize(("limit", "item"), NUMBERS, ids=[f"{limit.id}-{item.name}" for limit, item in NUMBERS])
def test_an_unusable_number_is_refused_in_one_sentence(limit: Limit, item: Input) -> None:
    """NaN, infinite, wrong unit, absurd, hostile: one line that names the input and its range."""
    typed = dict(limit.examples[0].inputs)
    for text in UNREADABLE:
        with pytest.raises(LimitInputProblem) as caught:
            judge(limit, typed | {item.name: text})
        sentence = str(caught.value)
        assert sentence.startswith(f"{item.name}: ")
        assert "give a" in sentence
        assert sentence.isprintable()
        assert len(sentence) < 250


@each_limit
def test_a_missing_input_is_named_with_its_range(limit: Limit) -> None:
    """An absent or blank needed input is asked for by name."""
    for item in limit.inputs:
        typed = {name: text for name, text in limit.examples[0].inputs.items() if name != item.name}
        if item.is_needed:
            with pytest.raises(LimitInputProblem, match=rf"^{item.name}: is needed"):
                judge(limit, typed)
            with pytest.raises(LimitInputProblem, match=rf"^{item.name}: is needed"):
                judge(limit, typed | {item.name: "  "})


@each_limit
def test_an_unknown_input_or_word_is_refused(limit: Limit) -> None:
    """A misspelt name and a word outside the choices are both named."""
    with pytest.raises(NotFound, match="wingloading"):
        judge(limit, limit.examples[0].inputs | {"wingloading": "1"})
    for item in limit.inputs:
        if item.choices:
            with pytest.raises(LimitInputProblem, match=rf"^{item.name}: 'no such word' is none of its words"):
                judge(limit, limit.examples[0].inputs | {item.name: "no such word"})


@pytest.mark.parametrize("limit", LIMITS, ids=lambda limit: limit.id)
@settings(max_examples=10, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_every_believable_input_gets_an_answer(limit: Limit, data: st.DataObject) -> None:
    """No rule breaks on a value in range; verdict, numbers, margin and drawing agree with one another."""
    result = judge(limit, data.draw(typed_inputs(limit)))
    assert json.loads(json.dumps(to_plain(result), allow_nan=False))["verdict"] == result.verdict
    assert result.sources
    assert result.sentence
    if result.margin is not None and result.required is not None and result.measured is not None:
        order = compare(result.measured, result.required)
        assert (result.verdict == "at") <= (order == 0)
        assert (result.verdict == "within") <= (result.margin > 0)
        assert (result.verdict == "beyond") <= (result.margin <= 0 or order == 0)
    if result.verdict == "not-covered":
        assert result.gauge is None
        assert result.sentence.startswith("not covered: ")
        assert "; see " in result.sentence
    if result.gauge is not None:
        assert len(draw(result.gauge, 64)) == 64


def test_listing_loads_no_scientific_library() -> None:
    """The list of limits, and verdicts on values in everyday units, need neither pint nor numpy."""
    act = (
        "import sys; from kb.limits import all_limits, judge;"
        "[judge(limit, example.inputs) for limit in all_limits().values() for example in limit.examples];"
        "print(sorted({'pint', 'numpy', 'scipy', 'fluids', 'pandas'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", act], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_warm_answer_is_prompt() -> None:
    """All examples together stay far under 60 ms each."""
    started = time.perf_counter()
    for limit, example in EXAMPLES:
        judge(limit, example.inputs)
    assert (time.perf_counter() - started) / len(EXAMPLES) < 0.06


def test_every_description_can_be_given_as_plain_data() -> None:
    """A face, the documentation and `--json` are made from the description alone."""
    plain = [to_plain(limit) for limit in LIMITS]
    assert len(json.dumps(plain)) > 0
    assert all("rule" not in item for item in plain)
