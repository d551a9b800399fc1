"""Every mistake oddfix can name, each with one sentence for a person: what, where, what to do."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import msgspec


class KbError(Exception):
    """Root of all errors a user can meet; `exit_code` is what a command ends with."""

    exit_code = 3


class UsageProblem(KbError, ValueError):
    """The question or an option cannot be understood as given."""

    exit_code = 2


class NotFound(KbError, LookupError):
    """No page, finding or system of that name; `nearest` names the closest ones."""

    exit_code = 1

    def __init__(self, kind: str, name: str, nearest: Sequence[str] = ()) -> None:
        self.kind, self.name, self.nearest = kind, name, tuple(nearest)
        hint = f"; nearest: {', '.join(self.nearest)}" if self.nearest else ""
        super().__init__(f"no {kind} is called '{name}'{hint}")


class Problem(msgspec.Struct, frozen=True):
    """One thing wrong in one entry file."""

    path: str
    line: int
    field: str
    text: str
    remedy: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line} {self.field}: {self.text}; {self.remedy}"


class DataProblems(KbError, ValueError):
    """Entry files that were refused; `problems` holds all of them, in file and line order."""

    exit_code = 3

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        count = len(self.problems)
        noun = "problem" if count == 1 else "problems"
        lines = "\n".join(str(problem) for problem in self.problems)
        super().__init__(f"{count} {noun} in the entry files, nothing was loaded:\n{lines}")


class PhotosRefused(KbError, ValueError):
    """Pictures that were not kept, nor any other of the same act; `problems` says what is wrong with each."""

    exit_code = 3

    def __init__(self, problems: Sequence[str], count: int) -> None:
        self.problems = tuple(problems)
        said = "; ".join(self.problems)
        super().__init__(f"nothing was kept, {len(self.problems)} of {count} cannot be: {said}")


class StoreUnavailable(KbError, OSError):
    """The store cannot be opened, read or written just now."""

    exit_code = 4

    def __init__(self, path: Path, reason: str, remedy: str) -> None:
        self.path, self.reason, self.remedy = path, reason, remedy
        super().__init__(f"the store {path} {reason}; {remedy}")

    def __str__(self) -> str:
        return f"the store {self.path} {self.reason}; {self.remedy}"


class StoreTooNew(StoreUnavailable):
    """The store was written by a newer program, whose rules this one does not know."""

    def __init__(self, path: Path, unknown: Sequence[str]) -> None:
        self.unknown = tuple(unknown)
        super().__init__(
            path,
            f"was written by a newer oddfix (step {', '.join(self.unknown)} is unknown here)",
            "update oddfix; the store was left as it is",
        )


class BackupFailed(KbError, OSError):
    """A copy of the store could not be made whole; there is none, and the store is as it was."""

    exit_code = 4

    def __init__(self, target: Path, reason: str, remedy: str) -> None:
        self.target, self.reason, self.remedy = target, reason, remedy
        super().__init__(f"{reason}; {remedy}")

    def __str__(self) -> str:
        return f"{self.reason}; {self.remedy}"


class BackupDamaged(KbError, ValueError):
    """A backup that is not whole, and so was not put back; `problems` holds what is wrong."""

    exit_code = 3

    def __init__(self, backup: Path, problems: Sequence[str]) -> None:
        self.backup, self.problems = backup, tuple(problems)
        more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
        super().__init__(f"{backup} is not whole and was not put back: {problems[0]}{more}")


class FileRefused(KbError, ValueError):
    """A file given to be read cannot be used; nothing was taken from it."""

    exit_code = 3


class NotWritten(KbError, OSError):
    """A file could not be written whole; there is none, and what stood there before still does."""

    exit_code = 4

    def __init__(self, target: Path, reason: str) -> None:
        self.target, self.reason = target, reason
        super().__init__(str(self))

    def __str__(self) -> str:
        return f"{self.target} could not be written: {self.reason}; make room or name another place"


class IndexProblem(KbError):
    """The kept index is missing, damaged or of another version; it is always safe to rebuild."""
