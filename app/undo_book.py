"""What `undo` does next where that is not to take the last line back: kept over a restart.

After a line was dropped or the plan was changed, the way back is kept in the data file under the
cook's stamp. Whatever happens to that cook afterwards, in any terminal, changes the stamp, and then
it no longer counts.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from app.line.plan import PlanChange
from core.cook import Plan, Probe, Shape

if TYPE_CHECKING:
    from storage.store import Store


@dataclass(frozen=True, slots=True)
class WayBack:
    """A line to bring back, or a plan to put back, with the words for it."""

    line_id: int | None = None
    change: PlanChange | None = None
    words: str = ""


def _key(cook_id: int) -> str:
    return f"undo:{cook_id}"


def keep_way_back(store: Store, cook_id: int, way: WayBack | None) -> None:
    """Keep the way back for the cook as it is now; None forgets an older one."""
    if way is None:
        if store.settings.get(_key(cook_id)) is not None:
            store.settings.set(_key(cook_id), None)
        return
    kept: dict[str, Any] = {
        "stamp": store.cook(cook_id).stamp,
        "line": way.line_id,
        "words": way.words,
    }
    if way.change is not None:
        kept["change"] = _change_object(way.change)
    store.settings.set(_key(cook_id), json.dumps(kept))


def way_back(store: Store, cook_id: int, stamp: str) -> WayBack | None:
    """The way back, if nothing has happened to the cook since; None for none."""
    text = store.settings.get(_key(cook_id))
    if text is None:
        return None
    try:
        kept = json.loads(text)
        if kept["stamp"] != stamp:
            return None
        change = _change(kept["change"]) if "change" in kept else None
        line = kept["line"]
        return WayBack(None if line is None else int(line), change, str(kept["words"]))
    except (ValueError, KeyError, TypeError):
        # written by another version: it is only a convenience
        return None


def _change_object(change: PlanChange) -> dict[str, Any]:
    at = change.started_at
    return {
        "plan": asdict(change.plan),
        "probes": [asdict(probe) for probe in change.probes],
        "started_at": None if at is None else at.isoformat(),
        "early": change.early,
    }


def _change(found: dict[str, Any]) -> PlanChange:
    plan = dict(found["plan"])
    if plan["shape"] is not None:
        plan["shape"] = Shape(plan["shape"])
    at = found["started_at"]
    return PlanChange(
        Plan(**plan),
        tuple(Probe(**probe) for probe in found["probes"]),
        None if at is None else datetime.fromisoformat(at),
        found["early"],
    )
