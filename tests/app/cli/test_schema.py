"""``doneby schema``."""

from __future__ import annotations

import json

from jsonschema import Draft202012Validator

from tests.app.cli.runs import DUCK, Terminal


def test_an_exported_cook_fits_the_printed_schema(terminal: Terminal) -> None:
    schema = terminal.ok("schema").object
    terminal.ok("import", str(DUCK))
    document = json.loads(terminal.ok("export", "1").out)
    Draft202012Validator(schema).validate(document)
    assert not Draft202012Validator(schema).is_valid({**document, "unit": "K"})
