"""``doneby start``: the start form as options; what is left out is the cut's usual."""

from __future__ import annotations

import argparse
from dataclasses import replace

from app.cli.shell import OK, CommandError, Shell
from app.display import Display
from app.early import EARLY, set_pull
from app.line.fields import read_field_c
from app.line.values import Refusal
from app.presenters.answers import present_answers
from app.presenters.start import StartText, usual
from app.presenters.start_reading import drop_late_usuals, read_start
from app.settings import usual_units
from core.catalogue import CUTS
from core.cook import Plan, Probe, Shape
from core.units import MassUnit, TemperatureUnit
from storage.store import Store
from storage.values import NewCook, SavedCook

NONE = "none"
FIELD_OPTIONS = {"on_at": "--at", "meat": "--meat", "probes": "--probe"}
"""Names of the form's fields that differ from their options."""


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Start a cook, or list the cuts."""
    if options.cut == "list":
        for cut in CUTS.values():
            shell.say(f"{cut.key}: {cut.name}")
        return OK
    with shell.store() as store:
        unit, mass_unit = usual_units(store, shell.env)
        unit = TemperatureUnit(options.unit) if options.unit else unit
        mass_unit = MassUnit(options.mass_unit) if options.mass_unit else mass_unit
        new = new_cook(options, shell, unit, mass_unit)
        _make_room(store, options, shell)
        saved = store.cook(store.create_cook(new))
        if options.pull is not None:
            set_pull(store, saved.id, early=options.pull == EARLY)
    _tell(saved, shell)
    return OK


def _make_room(store: Store, options: argparse.Namespace, shell: Shell) -> None:
    """End the cook in hand if that was asked for; refuse if it was not."""
    old = store.cook_in_hand()
    if old is None:
        return
    if not options.replace:
        raise CommandError(
            f"the cook '{old.title}' is in hand and nothing was started; "
            "--replace ends it first, or 'doneby say end' does"
        )
    store.end_cook(old.id, shell.clock())
    shell.say(f"ended '{old.title}'")


def new_cook(
    options: argparse.Namespace, shell: Shell, unit: TemperatureUnit, mass_unit: MassUnit
) -> NewCook:
    """The cook that the options describe; raises CommandError or Refusal."""
    key = options.cut.lower().replace(" ", "_").replace("-", "_")
    if key not in CUTS:
        raise CommandError(f"the cut {options.cut!r} is not known; there are {', '.join(CUTS)}")
    targets, glazes, wraps = (
        _by_probe(name, getattr(options, name)) for name in ("target", "glaze", "wrap")
    )
    text = _filled(usual(key, unit, mass_unit), options)
    every = {"target": targets, "glaze": glazes, "wrap": wraps}
    text = replace(
        text,
        target=targets.get("", text.target),
        glaze=glazes.get("", text.glaze),
        wrap=wraps.get("", text.wrap),
    )
    text = drop_late_usuals(text, {name for name in ("glaze", "wrap") if every[name]})
    now = shell.clock().replace(microsecond=0)
    reading = read_start(text, now, shell.zone)
    if reading.new is None:
        raise CommandError(_errors(reading.errors))
    new = reading.new
    probes = tuple(_own(probe, every, unit) for probe in new.probes)
    strange = {name for given in every.values() for name in given} - {p.name for p in probes} - {""}
    if strange:
        raise CommandError(f"no probe is called {', '.join(sorted(strange))}")
    _check(probes)
    return replace(new, plan=_with_band(new.plan, options, unit), probes=probes)


def _filled(text: StartText, options: argparse.Namespace) -> StartText:
    """The form with the options that were given."""
    typed = {
        "title": options.title, "weight": options.weight, "pit": options.pit,
        "meat": options.meat, "meal": options.meal, "rest": options.rest,
        "on_at": options.at, "thickness": options.thickness,
        "probes": None if options.probe is None else ", ".join(options.probe),
    }  # fmt: skip
    given = {name: value for name, value in typed.items() if value is not None}
    if options.shape:
        return replace(text, shape=Shape(options.shape), **given)
    return replace(text, **given)


def _by_probe(option: str, values: list[str] | None) -> dict[str, str]:
    """What was typed for each probe; under the empty name what holds for all of them."""
    found: dict[str, str] = {}
    for value in values or ():
        name, sign, temp = value.rpartition("=")
        if (sign and not name) or name in found:
            raise CommandError(f"--{option} {value!r}; allowed is T or NAME=T, each once")
        # "none" clears the usual glaze or wrap.
        found[name.strip()] = "" if temp.strip().lower() == NONE else temp.strip()
    return found


def _own(probe: Probe, every: dict[str, dict[str, str]], unit: TemperatureUnit) -> Probe:
    """The probe with what was typed for it alone."""
    changes: dict[str, float | None] = {}
    for name, given in every.items():
        if probe.name in given:
            typed = given[probe.name]
            field = f"--{name} {probe.name}"
            changes[f"{name}_c"] = read_field_c(field, typed, unit) if typed else None
    if "target_c" in changes and changes["target_c"] is None:
        raise CommandError(f"--target {probe.name}: a probe needs a target")
    return replace(probe, **changes)  # type: ignore[arg-type]  # None only where it is allowed


def _check(probes: tuple[Probe, ...]) -> None:
    for probe in probes:
        for name, trigger_c in (("glaze", probe.glaze_c), ("wrap", probe.wrap_c)):
            if trigger_c is not None and trigger_c >= probe.target_c:
                raise CommandError(f"{probe.name}: {name} must be below the target")


def _with_band(plan: Plan, options: argparse.Namespace, unit: TemperatureUnit) -> Plan:
    if options.band is None:
        return plan
    low, sign, high = options.band.partition("-")
    if not sign:
        raise Refusal(f"--band {options.band!r}", "a band is LOW-HIGH: 290-320")
    low_c, high_c = (read_field_c("--band", each, unit) for each in (low, high))
    if not low_c <= plan.pit_c <= high_c:
        raise Refusal(f"--band {options.band!r} does not hold the pit", "LOW-HIGH around the pit")
    return replace(plan, pit_low_c=low_c, pit_high_c=high_c)


def _errors(errors: dict[str, str]) -> str:
    named = [f"{FIELD_OPTIONS.get(field, f'--{field}')}: {text}" for field, text in errors.items()]
    return f"{'. '.join(named)}. Nothing was saved."


def _tell(saved: SavedCook, shell: Shell) -> None:
    display = Display(saved.unit, saved.mass_unit, shell.zone)
    now, plan = shell.clock(), saved.cook.plan
    shell.say(f"started cook {saved.id}: {saved.title}")
    parts = [
        f"{CUTS[plan.cut].name} {display.mass(plan.mass_kg)}",
        f"pit {display.temp(plan.pit_c)}",
        f"meat on {display.clock(saved.started_at, now)}",
    ]
    parts += [_probe_words(probe, display) for probe in saved.cook.probes]
    shell.say("; ".join(parts))
    names = " ".join(probe.name for probe in saved.cook.probes)
    shell.say(f"Type readings as: doneby say PIT {names.upper()}. 'doneby status' tells the rest.")
    for caution in present_answers(saved, None, now, display).cautions:
        shell.say(caution)


def _probe_words(probe: Probe, display: Display) -> str:
    words = f"{probe.name} to {display.reading(probe.target_c)}"
    if probe.glaze_c is not None:
        words += f", glaze at {display.reading(probe.glaze_c)}"
    if probe.wrap_c is not None:
        words += f", wrap at {display.reading(probe.wrap_c)}"
    return words
