"""Pictures of how the forecast behaves on the sample cooks, and the same as rows of text.

    python -m tests.bench.behaviours FOLDER

One PNG for each sample (all invented, cooked in the bench's simulator): readings, and the fan as it
stood at a fifth, a half and four fifths of the cook. The rows printed beside it are the range of
the finish over the cook against the true one: the lag at the start, the stall, the slow end, the
wrap and the rest can be seen in them. Needs matplotlib (the ``report`` extra).
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np

from core.answers import Forecast
from core.cook import Cook, EventKind, Milestone, Probe
from core.forecast import forecast
from storage.documents import parse_document

SAMPLES = Path(__file__).parents[2] / "sample_sessions"
STAGES = (0.2, 0.5, 0.8)
ROWS = (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.97)
COLOURS = ("#1f77b4", "#d55e00", "#009e73")


def finish_s(cook: Cook, probe: Probe) -> float:
    """When the readings pass the probe's target, by straight lines between them [s]."""
    pairs = [(r.elapsed_s, t) for r in cook.readings for n, t in r.meat_c if n == probe.name]
    times, temps = np.array(sorted(pairs)).T
    there = temps >= probe.target_c - 0.05
    there[:-1] &= temps[1:] >= probe.target_c - 3.0  # not a slip of the thumb
    i = int(np.argmax(there))
    share = (probe.target_c - temps[i - 1]) / (temps[i] - temps[i - 1])
    return float(times[i - 1] + min(max(share, 0.0), 1.0) * (times[i] - times[i - 1]))


def rows_of(cook: Cook, probe: Probe) -> list[str]:
    """The range of the finish in minutes at shares of the cook, and the rest's peak."""
    end = finish_s(cook, probe)
    out = [f"  true finish {end / 60:.0f} min"]
    for share in ROWS:
        made = forecast(cook.known_at(share * end), share * end, explain=False)
        arrival = made.arrival(probe.name, Milestone.TARGET)
        assert arrival is not None
        found = [arrival.quantile_s(level) for level in (0.1, 0.5, 0.9)]
        words = " ".join("never" if q is None else f"{q / 60:5.0f}" for q in found)
        never = arrival.probability_never
        rest = next(r for r in made.rests if r.probe == probe.name)
        out.append(
            f"  {share:4.0%} {share * end / 60:5.0f} min  10/50/90 %: {words}  "
            f"never {never:.0%}  rest peak {rest.peak_c:.1f} °C"
        )
    return out


def draw(cook: Cook, title: str, path: Path) -> None:
    """One picture: pit and meat as read, and three fans."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    figure, axes = pyplot.subplots(figsize=(10, 5.5))
    pit = [(r.elapsed_s / 60, r.pit_c) for r in cook.readings if r.pit_c is not None]
    axes.plot(*zip(*pit, strict=True), ".-", color="0.6", linewidth=0.8, label="pit")
    probe = cook.probes[0]
    end = finish_s(cook, probe)
    for share, colour in zip(STAGES, COLOURS, strict=True):
        made = forecast(cook.known_at(share * end), share * end, explain=False)
        _fan(axes, made, probe.name, share * end, colour, f"known at {share:.0%}")
    meat = [(r.elapsed_s / 60, t) for r in cook.readings for n, t in r.meat_c if n == probe.name]
    axes.plot(*zip(*meat, strict=True), "ko", markersize=3.5, label=probe.name)
    axes.axhline(probe.target_c, color="0.3", linestyle="--", linewidth=0.8)
    for event in cook.events:
        if event.kind is not EventKind.NOTE:
            axes.axvline(event.elapsed_s / 60, color="0.85", linewidth=0.7, zorder=0)
            axes.text(event.elapsed_s / 60, 2, event.kind.value, rotation=90, fontsize=6)
    axes.set(xlim=(0, 1.35 * end / 60), xlabel="minutes from meat-on", ylabel="°C", title=title)
    axes.set_ylim(0, None)
    axes.legend(loc="lower right", fontsize=8)
    figure.tight_layout()
    figure.savefig(path, dpi=110)
    pyplot.close(figure)


def _fan(axes, made: Forecast, probe: str, now_s: float, colour: str, label: str) -> None:  # type: ignore[no-untyped-def]
    fan = next(f for f in made.fans if f.name == probe)
    ahead = fan.elapsed_s >= now_s
    t, levels = fan.elapsed_s[ahead] / 60, fan.temp_c[:, ahead]
    middle = levels.shape[0] // 2
    axes.fill_between(t, levels[1], levels[-2], color=colour, alpha=0.18, linewidth=0)
    axes.plot(t, levels[middle], color=colour, linewidth=1.2, label=label)


def main() -> None:
    """Draw and print every sample."""
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    folder = parser.parse_args().folder
    folder.mkdir(parents=True, exist_ok=True)
    for path in sorted(SAMPLES.glob("*.json")):
        document = parse_document(path.read_text(encoding="utf-8"), path.name)
        cook = Cook(document.plan, document.probes, document.readings, document.events)
        print(document.title)
        print("\n".join(rows_of(cook, cook.probes[0])))
        draw(cook, document.title, folder / f"{path.stem}.png")


if __name__ == "__main__":
    main()
