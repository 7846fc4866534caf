"""Where the sample cooks lie: beside the source tree, or where an installed wheel puts them."""

from __future__ import annotations

import sys
import sysconfig
from pathlib import Path

FOLDER = "sample_sessions"
INSTALLED = Path("share") / "doneby" / FOLDER
USUAL_SAMPLE = "duck-autumn-afternoon"


def sample_folder() -> Path | None:
    """The folder of the samples; None if they were not installed."""
    beside = Path(__file__).resolve().parent.parent / FOLDER
    roots = dict.fromkeys((sysconfig.get_path("data"), sys.prefix, _user_root()))
    for folder in (beside, *(Path(root) / INSTALLED for root in roots if root)):
        if folder.is_dir():
            return folder
    return None


def _user_root() -> str:
    """Where `pip install --user` puts data."""
    scheme = sysconfig.get_preferred_scheme("user")
    return sysconfig.get_path("data", scheme) or ""


def sample_files() -> dict[str, Path]:
    """The samples by name, sorted."""
    folder = sample_folder()
    if folder is None:
        return {}
    return {path.stem: path for path in sorted(folder.glob("*.json"))}


def samples_named(name: str) -> tuple[str, ...]:
    """Names of the samples that `name` may mean: that one, else those that contain it."""
    names = tuple(sample_files())
    if name in names:
        return (name,)
    return tuple(found for found in names if name.casefold() in found)
