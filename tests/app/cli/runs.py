"""Runs the program in tests: in the process with a clock of ours, or as a process of its own."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from app.cli.main import main
from app.cli.shell import Shell

ROOT = Path(__file__).resolve().parents[3]
SAMPLES = ROOT / "sample_sessions"
DUCK = SAMPLES / "duck-autumn-afternoon.json"
ZONE = ZoneInfo("Europe/Berlin")
CODE = "import sys; from app.cli.main import main; sys.exit(main())"


@dataclass(frozen=True)
class Result:
    """What one run printed and how it ended."""

    code: int
    out: str
    err: str

    @property
    def object(self) -> Any:
        """The JSON that it printed."""
        return json.loads(self.out)


@dataclass
class Terminal:
    """One user at one data file, with a clock that the test turns."""

    data: Path
    now: datetime = field(default_factory=lambda: datetime(2026, 5, 9, 13, 5, tzinfo=ZONE))

    def run(self, *arguments: str, stdin: str | None = None) -> Result:
        """One command."""
        out, err = io.StringIO(), io.StringIO()
        env = {"DONEBY_DATA": str(self.data), "LANG": "en_US.UTF-8"}
        source = None if stdin is None else io.StringIO(stdin)
        shell = Shell(env, lambda: self.now, ZONE, out, err, source)
        return Result(main(arguments, shell), out.getvalue(), err.getvalue())

    def ok(self, *arguments: str, stdin: str | None = None) -> Result:
        """One command that must succeed, in silence on the error stream."""
        result = self.run(*arguments, stdin=stdin)
        assert (result.code, result.err) == (0, ""), result
        return result

    def after(self, minutes: float) -> Terminal:
        """The same user a while later."""
        self.now += timedelta(minutes=minutes)
        return self


def process(data: Path, *arguments: str, **changes: Any) -> subprocess.CompletedProcess[bytes]:
    """The program as a process of its own, stdin not a terminal."""
    environment = {**os.environ, "DONEBY_DATA": str(data), "PYTHONPATH": str(ROOT)}
    environment |= changes.pop("env", {})
    return subprocess.run(
        [sys.executable, "-c", CODE, *arguments], env=environment, capture_output=True,
        cwd=data.parent, timeout=60, check=False, **changes,
    )  # fmt: skip
