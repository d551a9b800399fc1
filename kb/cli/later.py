"""Commands that are read from their module when they are called, so that the others start without them."""

from __future__ import annotations

from importlib import import_module
from keyword import iskeyword
from typing import Any

import click


class Later(click.Command):
    """Stands for the command `name` of module `module` in lists and help; called, it is that command."""

    def __init__(self, name: str, module: str, text: str) -> None:
        super().__init__(name, help=text)
        self._module = module

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None, **extra: Any
    ) -> click.Context:
        return self.read().make_context(info_name, args, parent, **extra)

    def read(self) -> click.Command:
        """Return the command itself."""
        name = str(self.name).replace("-", "_")
        command: click.Command = getattr(import_module(self._module), f"{name}_" if iskeyword(name) else name)
        return command
