"""Writes a file whole or not at all: beside its target first, brought to the disk, then renamed."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from kb.errors import KbError, NotWritten, UsageProblem
from kb.store.backup import bring_to_disk, put_at


@contextmanager
def written_whole(target: Path, *, overwrite: bool = False) -> Iterator[BinaryIO]:
    """Give a file to write; it gets the name of `target` at the end, and is removed when anything goes wrong.

    Raises:
        UsageProblem: the target is there already, and `overwrite` was not said.
        NotWritten: the disk is full or failing, or the folder cannot be written; the target is as it was.
    """
    if target.is_dir():
        raise UsageProblem(f"{target} is a folder; name a file in it")
    if target.exists() and not overwrite:
        raise _there_already(target)
    work = target.with_name(f".{secrets.token_hex(8)}.new")
    try:
        with work.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        if overwrite:
            os.replace(work, target)
        else:
            put_at(work, target)
        bring_to_disk(target.parent)
    except KbError:
        raise
    except FileExistsError:
        raise _there_already(target) from None
    except OSError as error:
        raise NotWritten(target, (error.strerror or str(error)).lower()) from error
    finally:
        work.unlink(missing_ok=True)


def _there_already(target: Path) -> UsageProblem:
    return UsageProblem(f"{target} is there already and was left as it is; name another file, or say --force")
