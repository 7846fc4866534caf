"""Any good cook document, as JSON values, for property tests."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Any

from hypothesis import strategies as st

from core.catalogue import CUTS
from core.cook import EventKind


def temps(unit: str) -> st.SearchStrategy[float]:
    """Temperatures in the document's unit, short ones and full ones."""
    low, high = (-40, 600) if unit == "C" else (-40, 1112)
    typed = st.integers(low, high) | st.decimals(low, high, places=2).map(float)
    return typed | st.floats(low, high)


@st.composite
def documents(draw: st.DrawFn) -> dict[str, Any]:
    """Any good document as JSON values."""
    unit = draw(st.sampled_from("CF"))
    temp = temps(unit)
    text = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
    name = st.text("abcdefghijklmnopqrstuvwxyz ü", min_size=1, max_size=8).map(str.strip)
    names = draw(
        st.lists(name.filter(lambda n: n not in ("", "pit", "minute")), unique=True, max_size=3)
    )
    minute = st.floats(-4320, 6000) | st.integers(-60, 900)
    start = draw(st.datetimes(datetime(1972, 1, 1), datetime(2199, 1, 1)))  # noqa: DTZ001
    zone = draw(st.sampled_from(["Z", "+00:00", "-05:00", "+05:45"]))
    meal = (start + timedelta(minutes=draw(st.integers(0, 5000)))).isoformat() + zone
    plan = {
        "cut": draw(st.sampled_from(sorted(set(CUTS) - {"other"}))),
        "mass_kg": draw(st.floats(0.02, 60)),
        "pit": draw(temp),
    }
    plan |= draw(
        st.fixed_dictionaries(
            {},
            optional={
                "pit_low": temp,
                "serve_at": st.just(meal),
                "rest_min": st.floats(0, 2880) | st.integers(0, 90),
            },
        )
    )
    probes = [
        {"name": n, "target": draw(temp)}
        | {key: draw(st.none() | temp) for key in ("start", "glaze", "wrap")}
        for n in names
    ]
    maybe = st.none() | temp
    rows = st.fixed_dictionaries({"minute": minute}, optional=dict.fromkeys(["pit", *names], maybe))
    events = st.fixed_dictionaries(
        {"minute": minute, "kind": st.sampled_from([str(k) for k in EventKind])},
        optional={"note": text},
    )
    return {
        "format": 1,
        "title": draw(text),
        "started_at": start.isoformat() + zone,
        "unit": unit,
        "plan": plan,
        "probes": probes,
        "readings": draw(st.lists(rows, max_size=6)),
        "events": draw(st.lists(events, max_size=4)),
    }
