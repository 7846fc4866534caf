"""Cook the stories and write them to ``sample_sessions/``.

``python -m tests.samples.write [KEY ...]`` writes the named ones, else all. The committed files are
the samples; run this only to change a story.
"""

from __future__ import annotations

import sys
from pathlib import Path

from storage.documents import dump_document
from tests.samples.simulate import document_of
from tests.samples.stories import SCENES

FOLDER = Path(__file__).parents[2] / "sample_sessions"


def main(keys: list[str]) -> None:
    """Write the named scenes, all if none is named."""
    for scene in SCENES:
        if not keys or scene.key in keys:
            text = dump_document(document_of(scene))
            (FOLDER / f"{scene.key}.json").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
