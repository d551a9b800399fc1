"""How well narrowing works on the seed pages: `python -m tests.bench.narrow [CASES] [--match]`.

Cases are simulated: a cause is drawn by its share, its signs by the pages' own words. So calibration shows whether the
arithmetic is right, not whether the pages are; the second table draws from words that are often wrong by one step and
ignores how_common, and says how much that costs. Prints Brier score (sum over the causes of one case, mean over the
cases; 0 is best), reliability, minutes to 90 % by next look and in written order, and the time of a step.
`--match` asks our own questions and prints which power of the score fits them best, and how often the page is missed.
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from statistics import mean, median

from msgspec import Struct
from msgspec.structs import replace

from kb.entries.files import default_folder
from kb.entries.folder import load_folder
from kb.model import Entry
from kb.narrow import NONE, Answer, Case, CaseLook, Page, build_case, effects, judge, next_looks, put, shares
from kb.narrow.weigh import chance_of
from kb.narrow.words import HOW_OFTEN, SETTLED

SEED = 7
BESIDE = 4
"""Pages beside the right one in a case of several, as a question brings them."""

Truth = Mapping[str, bool]
Choose = Callable[[Case, Sequence[Answer], Sequence[CaseLook]], CaseLook | None]


def main(arguments: Sequence[str]) -> None:
    entries = load_folder(default_folder()).entries
    numbers = [int(argument) for argument in arguments if argument.isdigit()]
    count = numbers[0] if numbers else 2000
    _print_words(entries)
    _print_calibration(entries, count)
    _print_minutes(entries, count)
    _print_times(entries)
    if "--match" in arguments:
        _print_match()


class _End(Struct, frozen=True):
    """Minutes spent, whether one cause was settled, and whether it was the true one."""

    minutes: int
    is_settled: bool
    is_right: bool


class _Runs(Struct, frozen=True):
    """One case by next look and as written; `can_settle`: after all its looks one cause holds SETTLED."""

    next_look: _End
    written: _End
    can_settle: bool


# Cases


def one_page(entries: Mapping[str, Entry], dice: random.Random) -> Case:
    """Return the case of one page, as `narrow ID` opens it."""
    return build_case([Page(entries[dice.choice(sorted(entries))], 1.0)])


def several_pages(entries: Mapping[str, Entry], dice: random.Random) -> Case:
    """Return the case of a page with pages of its system and pages it links to, matching less than it or nearly so."""
    right = entries[dice.choice(sorted(entries))]
    linked = {cause.entry for cause in right.causes if cause.entry}
    kin = sorted(entry.id for entry in entries.values() if entry.system == right.system and entry.id != right.id)
    beside = dict.fromkeys([*sorted(linked), *dice.sample(kin, min(BESIDE, len(kin)))])
    pages = [Page(entries[name], dice.uniform(0.3, 0.58)) for name in list(beside)[:BESIDE]]
    return build_case([Page(right, 0.6), *pages])


def draw_truth(case: Case, dice: random.Random, *, with_none: bool = True) -> int:
    """Return the place of a candidate drawn by its share."""
    weights = [one.prior if with_none or one.id != NONE else 0.0 for one in case.candidates]
    return dice.choices(range(len(weights)), weights)[0]


def draw_signs(case: Case, place: int, dice: random.Random) -> dict[str, bool]:
    """Return for each sign whether it shows, drawn by what the pages say of the candidate."""
    return {sign.id: dice.random() < chance_of(sign, place) for sign in case.signs}


def _said(sign: str, is_seen: bool) -> Answer:
    return Answer(sign, "seen" if is_seen else "not-seen")


def _bent(entry: Entry, dice: random.Random) -> Entry:
    """Return the page as it might truly be: three words in ten one step off, all causes equally common."""
    words = list(HOW_OFTEN)
    causes = []
    for cause in entry.causes:
        signs = dict(cause.signs)
        for sign, word in cause.signs.items():
            if dice.random() < 0.3:
                place = words.index(word) + dice.choice((-1, 1))
                signs[sign] = words[min(max(place, 0), len(words) - 1)]
        causes.append(replace(cause, signs=signs, how_common="common"))
    return replace(entry, causes=tuple(causes))


# What is printed


def _print_words(entries: Mapping[str, Entry]) -> None:
    every = [(cause, word) for entry in entries.values() for cause in entry.causes for word in cause.signs.values()]
    for name, chosen in (("all", every), ("of causes other pages own", [pair for pair in every if pair[0].entry])):
        chances = [HOW_OFTEN[word] for _, word in chosen]
        _say(f"statements {name}: {len(chances)}, mean {mean(chances):.3f}, median {median(chances):.2f}")


def _print_calibration(entries: Mapping[str, Entry], count: int) -> None:
    for title, is_bent in (("drawn from the pages' own words", False), ("drawn from bent words", True)):
        dice = random.Random(SEED)
        before: list[float] = []
        after: list[float] = []
        pairs: list[tuple[float, float]] = []
        for _ in range(count):
            case = several_pages(entries, dice)
            source = _bent_case(case, entries, dice) if is_bent else case
            place = draw_truth(source, dice)
            signs = draw_signs(source, place, dice)
            asked = dice.sample(sorted(signs), len(signs) // 2)
            true_id = source.candidates[place].id
            hits = [float(one.id == true_id) for one in case.candidates]
            held = shares(case, [_said(sign, signs[sign]) for sign in asked])
            before.append(_brier(shares(case, ()), hits))
            after.append(_brier(held, hits))
            pairs += zip(held, hits, strict=True)
        _say(f"\n{count} cases {title}, half the signs answered")
        _say(f"Brier score before any answer {mean(before):.3f}, after {mean(after):.3f}")
        _say("  share said   mean said   came true    causes")
        for low, high in ((0, 0.01), (0.01, 0.1), (0.1, 0.33), (0.33, 0.66), (0.66, 0.9), (0.9, 0.99), (0.99, 1.01)):
            some = [pair for pair in pairs if low <= pair[0] < high]
            if some:
                said, true = mean(pair[0] for pair in some), mean(pair[1] for pair in some)
                _say(f"  {low:4.2f}-{min(high, 1):4.2f}    {said:9.3f}   {true:9.3f}  {len(some):8}")


def _bent_case(case: Case, entries: Mapping[str, Entry], dice: random.Random) -> Case:
    names = dict.fromkeys(page for sign in case.signs if (page := sign.id.partition("/")[0]) in entries)
    return build_case([Page(_bent(entries[name], dice), 0.6 - 0.05 * n) for n, name in enumerate(names)])


def _brier(held: Sequence[float], hits: Sequence[float]) -> float:
    return math.fsum((share - hit) ** 2 for share, hit in zip(held, hits, strict=True))


def _print_minutes(entries: Mapping[str, Entry], count: int) -> None:
    for title, make in (("one page", one_page), (f"a page among {BESIDE + 1}", several_pages)):
        for told, known in (("nothing known yet", _nothing), ("signs that need no look known", _needing_no_look)):
            dice = random.Random(SEED)
            runs = [_both_ways(make(entries, dice), known, dice) for _ in range(count)]
            _say(f"\n{count} cases of {title}, {told}: minutes until one cause holds {SETTLED:.0%}, or all looks taken")
            _say_minutes("all cases", runs)
            _say_minutes("the looks can settle", [run for run in runs if run.can_settle])
            for name, ends in (
                ("next look", [run.next_look for run in runs]),
                ("as written", [run.written for run in runs]),
            ):
                right = mean(end.is_right for end in ends if end.is_settled)
                _say(
                    f"  {name:<10} settles {mean(end.is_settled for end in ends):5.1%}, on the true cause {right:5.1%}"
                )


def _say_minutes(title: str, runs: Sequence[_Runs]) -> None:
    quick = [run.next_look.minutes for run in runs]
    written = [run.written.minutes for run in runs]
    less = 1 - sum(quick) / sum(written)
    _say(
        f"  {title:<20} {len(runs):6}  next look {mean(quick):6.1f}  as written {mean(written):6.1f}  less {less:6.1%}"
    )


def _nothing(case: Case, sign: str) -> bool:
    return False


def _needing_no_look(case: Case, sign: str) -> bool:
    """True for a sign that no look settles: it shows by itself, so it is what the mechanic came with."""
    return all(look.sign != sign for look in case.looks)


def _both_ways(case: Case, known: Callable[[Case, str], bool], dice: random.Random) -> _Runs:
    place = draw_truth(case, dice, with_none=False)
    signs = draw_signs(case, place, dice)
    given = tuple(_said(sign, is_seen) for sign, is_seen in signs.items() if known(case, sign))
    looked = {look.sign for look in case.looks} | {answer.sign for answer in given}
    all_taken = shares(case, [_said(sign, signs[sign]) for sign in sorted(looked)])
    return _Runs(
        _run(case, given, signs, place, _by_next_look),
        _run(case, given, signs, place, _as_written),
        max(all_taken[:-1]) >= SETTLED,
    )


def _run(case: Case, given: tuple[Answer, ...], signs: Truth, place: int, choose: Choose) -> _End:
    answers, minutes = given, 0
    left = list(case.looks)
    while True:
        held = shares(case, answers)
        lead = max(range(len(held) - 1), key=lambda one: held[one])  # none-of-these stands last
        if held[lead] >= SETTLED:
            return _End(minutes, True, lead == place)
        look = choose(case, answers, left)
        if look is None:
            return _End(minutes, False, False)
        minutes += look.minutes
        answers = put(answers, _said(look.sign, signs[look.sign]))
        left = [one for one in left if one.sign != look.sign]


def _by_next_look(case: Case, answers: Sequence[Answer], left: Sequence[CaseLook]) -> CaseLook | None:
    found = next_looks(case, answers, 1)
    return found[0].look if found else None


def _as_written(case: Case, answers: Sequence[Answer], left: Sequence[CaseLook]) -> CaseLook | None:
    return left[0] if left else None


def _print_times(entries: Mapping[str, Entry]) -> None:
    many = list(_grown(entries, 400))
    _say(f"\none step (put, judge, next looks, effects) warm, {len(many)} entries loaded, 30 rounds")
    for pages, given in ((1, 4), (8, 12), (20, 12), (len(many), 12)):
        start = time.perf_counter()
        case = build_case([Page(entry, 0.6 - 0.0005 * n) for n, entry in enumerate(many[:pages])])
        built = (time.perf_counter() - start) * 1000
        answers = tuple(_said(sign.id, n % 2 == 0) for n, sign in enumerate(case.signs[:given]))
        times = []
        for _ in range(30):
            start = time.perf_counter()
            now = put(answers, _said(answers[-1].sign, True))
            judge(case, now)
            next_looks(case, now)
            effects(case, now, limit=5)
            times.append((time.perf_counter() - start) * 1000)
        _say(
            f"  case of {pages:3} pages, {len(case.candidates):4} causes: {median(times):6.2f} ms"
            f" ({min(times):.2f}-{max(times):.2f}), build {built:.1f} ms"
        )


def _grown(entries: Mapping[str, Entry], size: int) -> Iterator[Entry]:
    pages = list(entries.values())
    for number in range(size):
        entry = pages[number % len(pages)]
        yield entry if number < len(pages) else replace(entry, id=f"{entry.id}-{number}")


def _print_match() -> None:
    from pathlib import Path
    from tempfile import TemporaryDirectory

    from kb.desk import Desk
    from tests.bench.questions import load

    with TemporaryDirectory() as folder:
        desk = Desk.open(Path(folder) / "bench.db")
        asked = []
        for question in load():
            hits = [hit for hit in desk.search.ask(question.text, limit=20).hits if hit.kind == "entry"][:8]
            asked.append(([(hit.id, hit.score) for hit in hits], {question.entry, *question.also}))
    for name, some in (("odd", asked[0::2]), ("even", asked[1::2])):
        missed = mean(not any(page in right for page, _ in hits) for hits, right in some)
        best = max((power / 2 for power in range(33)), key=lambda power: _fits(some, power))
        _say(f"{name} questions: page not among the first eight {missed:.1%}; power of the score that fits best {best}")


def _fits(asked: Sequence[tuple[list[tuple[str, float]], set[str]]], power: float) -> float:
    total = 0.0
    for hits, right in asked:
        true = sum(score**power for page, score in hits if page in right)
        total += math.log(true / sum(score**power for _, score in hits)) if true else 0.0
    return total


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
