"""``doneby schema``: the JSON Schema of the cook document."""

from __future__ import annotations

import argparse
from importlib.resources import files

from app.cli.shell import OK, Shell


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Print the schema as it is shipped."""
    text = files("storage").joinpath("cook_document.schema.json").read_text(encoding="utf-8")
    if shell.out is not None:
        shell.out.write(text)
    return OK
