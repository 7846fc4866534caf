"""Fuzzes one target, guided by coverage: ``python -m tests.fuzz line --runs 500000``.

Needs the package `atheris` (the optional extra ``fuzz``). An input that breaks a promise is written
to the folder of findings; mend the cause and keep the input in ``tests/fuzz/corpus/TARGET/``, where
the tests replay it for ever.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

NAMES = ("line", "document", "values", "table", "options")
ROOMS = ["app.line", "app.desk", "app.cli", "app.display", "storage.documents",
         "storage.document_checks", "storage.document_store", "storage.limits",
         "app.csv_readings", "core.spots"]  # fmt: skip
"""The modules whose branches guide the search."""


def _dictionary(path: Path, words: list[str]) -> None:
    """Words in the form that the fuzzer reads: every byte that is not plain is spelled."""
    rows = []
    for word in words:
        spelled = "".join(
            chr(b) if 32 <= b < 127 and b not in b'"\\' else f"\\x{b:02x}"
            for b in word.encode("utf-8", "surrogateescape")
        )
        rows.append(f'"{spelled}"\n')
    path.write_text("".join(rows), encoding="ascii")


def main() -> None:
    """Read the options and fuzz until the runs are done or something is found."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    parser.add_argument("target", choices=NAMES)
    parser.add_argument("--runs", type=int, default=500_000, metavar="N")
    parser.add_argument("--seconds", type=int, default=0, metavar="S", help="stop after so long")
    parser.add_argument("--seed", type=int, default=1, metavar="N")
    parser.add_argument(
        "--findings", metavar="FOLDER", help="where findings go (else a new folder)"
    )
    options = parser.parse_args()
    import atheris  # type: ignore[import-not-found]

    with atheris.instrument_imports(include=ROOMS, enable_loader_override=False):
        from tests.fuzz.targets import TARGETS
    from tests.fuzz.seeds import seeds, words

    findings = Path(options.findings or tempfile.mkdtemp(prefix="doneby-findings-")).resolve()
    findings.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix="doneby-seeds-") as folder:
        for number, seed in enumerate(seeds(options.target)):
            Path(folder, f"{number:04d}").write_bytes(seed)
        dictionary = findings / "words.dict"
        _dictionary(dictionary, words())
        atheris.Setup(
            [sys.argv[0], f"-runs={options.runs}", f"-seed={options.seed}", f"-dict={dictionary}",
             f"-artifact_prefix={findings}/", f"-max_total_time={options.seconds}", "-max_len=4096",
             "-timeout=20", "-print_final_stats=1", folder],
            TARGETS[options.target],
        )  # fmt: skip
        print(f"findings go to {findings}", flush=True)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
