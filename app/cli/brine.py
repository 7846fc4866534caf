"""``doneby brine``: how strong a brine is, how long it takes, and the personal list of mixes."""

from __future__ import annotations

import argparse
import json
from dataclasses import asdict

from app.cli.shell import OK, CommandError, Shell
from app.cli.table import table_lines
from app.display import Display
from app.line.fields import read_mass_kg, read_thickness_m
from app.mix_lines import MixText, read_mix
from app.presenters.mix import guessed_kind, mix_text, present_mix
from app.settings import usual_units
from core.catalogue import CUTS, cut_named
from core.cook import Plan, Shape
from core.units import MassUnit, TemperatureUnit
from storage.store import Store
from storage.values import Mix, SavedCook


def run(options: argparse.Namespace, shell: Shell) -> int:
    """Say what a mix is, and keep it where that is asked for."""
    with shell.store() as store:
        if options.list:
            return _list(store, shell)
        if options.delete is not None:
            mix = _named(store, options.delete)
            store.mixes.delete(mix.id)
            shell.say(f"deleted '{mix.name}' from the list")
            return OK
        _work(options, shell, store)
    return OK


def _work(options: argparse.Namespace, shell: Shell, store: Store) -> None:
    unit, mass_unit = usual_units(store, shell.env)
    mass_unit = MassUnit(options.mass_unit) if options.mass_unit else mass_unit
    kept = None if options.use is None else _named(store, options.use)
    if kept is None and not options.lines:
        raise CommandError('no ingredients; \'doneby brine "120 g salt" "4 l water"\' has two')
    mix = read_mix((*(() if kept is None else kept.lines), *options.lines))
    if mix.errors:
        raise CommandError(". ".join(message for _, message in mix.errors))
    meat_kg = None if options.weight is None else read_mass_kg(options.weight, mass_unit)
    for_kg = meat_kg if kept is None or kept.meat_kg is None else kept.meat_kg
    mix, for_kg = _scaled(mix, for_kg, meat_kg, options, mass_unit)
    kind = options.kind or (kept.kind if kept is not None else guessed_kind(mix))
    cook = store.cook_in_hand() if options.keep else None
    if options.keep and cook is None:
        raise CommandError("no cook is in hand to keep it with; --save NAME puts it on the list")
    display = Display(unit, mass_unit, shell.zone)
    plan = _plan(options, for_kg, mass_unit, cook)
    view = present_mix(mix, display, kind=kind, meat_kg=for_kg, plan=plan)
    if options.json:
        shell.say(json.dumps(asdict(view), indent=1, ensure_ascii=False))
    else:
        shell.say(mix_text(view))
    _keep(options, shell, store, mix, kind, for_kg, kept, cook)


def _keep(
    options: argparse.Namespace,
    shell: Shell,
    store: Store,
    mix: MixText,
    kind: str,
    meat_kg: float | None,
    kept: Mix | None,
    cook: SavedCook | None,
) -> None:
    """On the list, with the cook in hand, or both."""
    now = shell.clock()
    if options.save is not None:
        store.mixes.save(options.save, kind, mix.texts, meat_kg, now)
        if not options.json:
            shell.say(f"kept on the list as '{options.save}'")
    if cook is not None:
        name = options.save or (kept.name if kept is not None else kind)
        store.mixes.keep(cook.id, name, kind, mix.texts, meat_kg, now)
        if not options.json:
            shell.say(f"kept with the cook '{cook.title}' as '{name}'")


def _scaled(
    mix: MixText,
    for_kg: float | None,
    meat_kg: float | None,
    options: argparse.Namespace,
    mass_unit: MassUnit,
) -> tuple[MixText, float | None]:
    """The mix for another weight of meat, if one is asked for, and the weight it is for then."""
    wanted = meat_kg if options.scale is None else read_mass_kg(options.scale, mass_unit)
    if options.scale is not None and for_kg is None:
        raise CommandError("--scale needs the weight that the mix is written for: --weight 3kg")
    if wanted is None or for_kg is None or wanted == for_kg:
        return mix, for_kg if wanted is None else wanted
    return mix.scaled(wanted / for_kg), wanted


def _plan(
    options: argparse.Namespace, meat_kg: float | None, mass_unit: MassUnit, cook: SavedCook | None
) -> Plan | None:
    """The piece that soaks: by its cut, its thickness, or the cook in hand; None if not said."""
    if options.thickness is not None:
        thickness = read_thickness_m(options.thickness, mass_unit)
        return Plan("other", meat_kg or 1.0, 150.0, shape=Shape.SLAB, thickness_m=thickness)
    if options.cut is not None:
        key = options.cut.lower().replace(" ", "_").replace("-", "_")
        if key not in CUTS or key == "other":
            known = ", ".join(each for each in CUTS if each != "other")
            raise CommandError(f"the cut {options.cut!r} is not known; there are {known}")
        return Plan(key, meat_kg or cut_named(key).typical_mass_kg, 150.0)
    return None if cook is None else cook.cook.plan


def _named(store: Store, name: str) -> Mix:
    """A mix of the list by its name; raises CommandError."""
    mixes = store.mixes.all()
    for mix in mixes:
        if mix.name.casefold() == name.strip().casefold():
            return mix
    names = ", ".join(f"'{mix.name}'" for mix in mixes) or "nothing yet"
    raise CommandError(f"no mix is called {name!r}; on the list: {names}")


def _list(store: Store, shell: Shell) -> int:
    mixes = store.mixes.all()
    cook = store.cook_in_hand()
    if not mixes:
        shell.say("No mix is on the list yet; --save NAME keeps one.")
    display = Display(TemperatureUnit.CELSIUS, usual_units(store, shell.env)[1], shell.zone)
    for line in _rows(mixes, display):
        shell.say(line)
    kept = () if cook is None else store.mixes.of_cook(cook.id)
    if cook is not None and kept:
        shell.say(f"With the cook '{cook.title}':")
        for line in _rows(kept, display):
            shell.say(line)
    return OK


def _rows(mixes: tuple[Mix, ...], display: Display) -> list[str]:
    rows = [
        (mix.name, mix.kind, "" if mix.meat_kg is None else f"for {display.mass(mix.meat_kg)}",
         ", ".join(mix.lines))
        for mix in mixes
    ]  # fmt: skip
    return table_lines(rows)
