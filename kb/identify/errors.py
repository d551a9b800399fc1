"""The mistakes this room can name: a broken key file, and evidence that cannot be used."""

from __future__ import annotations

from collections.abc import Sequence

from kb.errors import KbError, Problem, UsageProblem


class KeyProblems(KbError, ValueError):
    """Key files that were refused; `problems` holds all of them, in file and line order."""

    exit_code = 3

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        noun = "problem" if len(self.problems) == 1 else "problems"
        lines = "\n".join(str(problem) for problem in self.problems)
        super().__init__(f"{len(self.problems)} {noun} in the identify keys:\n{lines}")


class EvidenceProblem(UsageProblem):
    """One answer that cannot be used; `measurement` names it, `nearest` the closest names known."""

    def __init__(self, measurement: str, sentence: str, nearest: Sequence[str] = ()) -> None:
        self.measurement, self.nearest = measurement, tuple(nearest)
        super().__init__(sentence)
