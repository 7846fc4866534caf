"""The stories of ``sample_sessions/``: all invented, no cook of anybody's."""

from __future__ import annotations

from core.cook import EventKind, Plan, Probe
from core.units import TemperatureUnit, f_to_c, lb_to_kg
from tests.samples.scene import Act, Piece, Scene, Slip

E = EventKind
HOUR = 60.0


def _duck() -> Scene:
    probe = Probe("breast", 74.0, start_c=6.0, glaze_c=62.0)
    return Scene(
        key="duck-autumn-afternoon",
        title="A duck on an autumn afternoon (invented)",
        started_at="2026-10-17T13:10:00+02:00",
        serve_at="2026-10-17T16:45:00+02:00",
        unit=TemperatureUnit.CELSIUS,
        plan=Plan("duck", 2.3, 155.0, 145.0, 170.0, rest_s=15 * 60.0),
        pieces=(Piece(probe, 2.3, seed=17, hidden={"h_conv": 13.0, "probe_bias_c": 0.3}),),
        acts=(
            Act(E.NOTE, "Invented cook. Skin pricked all over, drip pan under the bird.", 0.0),
            Act(E.WOOD_ADDED, "apple, one fist-sized piece", 4.0, lid=0.05),
            Act(E.TURNED, "half a turn, the far side was paler", 58.0, lid=0.2),
            Act(E.LID_OPEN, "drip pan nearly full, emptied it away from the coals", 91.0, lid=0.25),
            Act(
                E.GLAZED,
                "quince jelly and mustard, thin coat",
                probe="breast",
                temp_c=62.0,
                lid=0.22,
                water_kg_m2=0.1,
            ),
        ),
        gap_min=19.0,
        fuel_notes=("8 briquettes, five of them lit", "6 more, all lit"),
        vent_notes=("bottom vent a little wider", "top vent half", "bottom vent back a touch"),
        spot_check="thigh joint 77, other breast 75, by the wing 76",
        ending="off the grate, loose foil over it, indoors",
        rest_min=15.0,
        served="carved at the kitchen counter, skin held its crackle",
        seed=171,
        fire={
            "fire_sd_c": 4.0,
            "decay_c_per_h": 8.0,
            "first_burn_s": 3600.0,
            "gauge_offset_c": 4.0,
            "setpoint_c": 154.0,
            "start_pit_c": 146.0,
            "room_c": 20.0,
            "steady": 0.0,
        },
    )


def _shoulder() -> Scene:
    probe = Probe("shoulder", f_to_c(203.0), start_c=f_to_c(40.0), wrap_c=f_to_c(165.0))
    return Scene(
        key="pork-shoulder-overnight",
        title="Pork shoulder through the night, wrapped after the stall (invented)",
        started_at="2026-06-19T20:40:00-05:00",
        serve_at="2026-06-20T12:00:00-05:00",
        unit=TemperatureUnit.FAHRENHEIT,
        plan=Plan(
            "pork_shoulder", round(lb_to_kg(8.0), 2), f_to_c(240.0), f_to_c(225.0), f_to_c(260.0),
            rest_s=60 * 60.0,
        ),
        pieces=(Piece(probe, 3.63, seed=41, hidden={"h_conv": 14.0, "probe_bias_c": -0.4}),),
        acts=(
            Act(E.NOTE, "Invented cook. Salt and pepper only, fat side down.", 0.0),
            Act(E.WOOD_ADDED, "two chunks of pecan in the coals", 6.0, lid=0.05),
            Act(E.SPRITZED, "cider vinegar and water", 165.0, lid=0.2, water_kg_m2=0.08),
            Act(E.NOTE, "Hardly moves any more. Leaving it alone.", probe="shoulder",
                temp_c=f_to_c(152.0), delay_min=2.0),
            Act(E.NOTE, "Wrapped and steady. Two hours of sleep.", probe="shoulder",
                temp_c=f_to_c(165.0), delay_min=8.0),
            Act(E.WRAPPED, "foil, a spoon of the drippings inside", probe="shoulder",
                temp_c=f_to_c(165.0), delay_min=3.0, lid=0.3, wrap="foil"),
        ),
        gap_min=33.0,
        naps=((492.0, 642.0),),
        fuel_notes=(
            "a dozen briquettes on the lit end",
            "topped up the ring, ten briquettes",
            "ten more, that should carry it",
            "eight, to be sure of it",
        ),
        vent_notes=("intake a finger wider", "intake back by half", "top vent to three quarters",
                    "left the intake a hair more open"),
        spot_check="four spots from 201 to 205, slides in like butter, by the bone 202",
        ending="off, still wrapped, into a dry cooler with towels",
        rest_min=65.0,
        rest_loss=0.5,
        served="pulled apart by hand, the bone came out clean",
        seed=402,
        dial=True,
        fire={
            "fire_sd_c": 4.5,
            "decay_c_per_h": 6.0,
            "first_burn_s": 2.4 * 3600.0,
            "gauge_offset_c": 1.5,
            "setpoint_c": 115.0,
            "start_pit_c": 111.0,
            "steady": 0.0,
        },
    )  # fmt: skip


def _lamb() -> Scene:
    probe = Probe("leg", 63.0, start_c=8.0)
    return Scene(
        key="leg-of-lamb-spring",
        title="A leg of lamb for a spring Sunday, with one slip of the thumb (invented)",
        started_at="2026-04-12T10:50:00+01:00",
        serve_at="2026-04-12T13:30:00+01:00",
        unit=TemperatureUnit.CELSIUS,
        plan=Plan("leg_of_lamb", 2.4, 160.0, 150.0, 172.0, rest_s=20 * 60.0),
        pieces=(Piece(probe, 2.4, seed=12, hidden={"probe_bias_c": 0.0}),),
        acts=(
            Act(E.NOTE, "Invented cook. Garlic and rosemary, bone in.", 0.0),
            Act(E.WOOD_ADDED, "a few vine cuttings", 5.0, lid=0.05),
            Act(E.LID_OPEN, "potatoes in beside it", 47.0, lid=0.3),
            Act(E.TURNED, "bone end to the back", 74.0, lid=0.2),
        ),
        gap_min=14.0,
        fuel_notes=("a handful of lump charcoal", "another handful"),
        vent_notes=("bottom vent a third more", "bottom vent shut by a third", "top vent half"),
        spot_check="64 at the thick end, 66 near the shank, 63 by the bone",
        ending="off, on a warm board under foil",
        rest_min=20.0,
        served="carved along the bone, pink in the middle",
        seed=123,
        slip=Slip(100.0, "leg"),
        fire={
            "fire_sd_c": 6.0,
            "decay_c_per_h": 7.0,
            "gauge_offset_c": 2.0,
            "setpoint_c": 159.0,
            "start_pit_c": 152.0,
            "steady": 0.0,
        },
    )  # fmt: skip


def _salmon() -> Scene:
    probe = Probe("salmon", 63.0, start_c=5.0, glaze_c=50.0)
    return Scene(
        key="salmon-side-evening",
        title="A side of salmon on a cedar board (invented)",
        started_at="2026-08-02T17:55:00-07:00",
        serve_at="2026-08-02T19:15:00-07:00",
        unit=TemperatureUnit.CELSIUS,
        plan=Plan("salmon_side", 1.3, 120.0, 110.0, 132.0, rest_s=5 * 60.0),
        pieces=(Piece(probe, 1.3, seed=8, hidden={"probe_bias_c": 0.2}),),
        acts=(
            Act(E.NOTE, "Invented cook. Dry brined for an hour in the fridge, patted dry.", 0.0),
            Act(E.WOOD_ADDED, "a handful of alder chips", 2.0, lid=0.05),
            Act(
                E.GLAZED,
                "maple and soy, brushed on twice",
                probe="salmon",
                temp_c=50.0,
                lid=0.2,
                water_kg_m2=0.1,
            ),
        ),
        gap_min=9.0,
        fuel_notes=("three lit briquettes",),
        vent_notes=("top vent half", "bottom vent a touch wider"),
        spot_check="63 in the thick end, 65 in the middle, flakes to the skin",
        ending="board and all onto the table",
        rest_min=6.0,
        served="with new potatoes",
        seed=81,
        fire={
            "fire_sd_c": 4.0,
            "decay_c_per_h": 5.0,
            "gauge_offset_c": 3.0,
            "setpoint_c": 120.0,
            "start_pit_c": 112.0,
            "steady": 0.0,
        },
    )


def _ham() -> Scene:
    probe = Probe("ham", 65.0, start_c=5.0, glaze_c=50.0)
    return Scene(
        key="glazed-ham-christmas-eve",
        title="A glazed ham for a southern Christmas Eve (invented)",
        started_at="2026-12-24T10:35:00+13:00",
        serve_at="2026-12-24T15:15:00+13:00",
        unit=TemperatureUnit.CELSIUS,
        plan=Plan("ham", 4.6, 150.0, 138.0, 162.0, rest_s=20 * 60.0),
        pieces=(Piece(probe, 4.6, seed=24, hidden={"probe_bias_c": -0.3}),),
        acts=(
            Act(E.NOTE, "Invented cook. Cured but not cooked, rind off, fat scored.", 0.0),
            Act(E.WOOD_ADDED, "one piece of cherry", 3.0, lid=0.05),
            Act(E.LID_OPEN, "fat in the pan, tipped it out well away from the fire", 88.0, lid=0.2),
            Act(E.TURNED, "quarter turn", 140.0, lid=0.2),
            Act(E.GLAZED, "brown sugar, mustard and ginger beer", probe="ham", temp_c=50.0,
                lid=0.25, water_kg_m2=0.12),
            Act(E.GLAZED, "second coat", probe="ham", temp_c=61.0, lid=0.25, water_kg_m2=0.08),
        ),
        gap_min=24.0,
        fuel_notes=("ten briquettes", "ten more, lit in the chimney first", "six"),
        vent_notes=("bottom vent half", "bottom vent a quarter", "top vent wide"),
        spot_check="68, 66 and 67, clear of the bone",
        ending="off and onto the carving board",
        rest_min=20.0,
        served="cold salads, hot ham",
        seed=246,
        fire={
            "fire_sd_c": 5.0,
            "decay_c_per_h": 6.0,
            "gauge_offset_c": 3.0,
            "setpoint_c": 149.0,
            "start_pit_c": 140.0,
            "steady": 0.0,
        },
    )  # fmt: skip


def _chicken() -> Scene:
    breast = Probe("breast", f_to_c(165.0), start_c=f_to_c(39.0), glaze_c=f_to_c(145.0))
    thigh = Probe("thigh", f_to_c(175.0), start_c=f_to_c(39.0), glaze_c=f_to_c(150.0))
    return Scene(
        key="chicken-pieces-two-probes",
        title="Chicken pieces with two probes, breast and thigh (invented)",
        started_at="2026-05-23T17:20:00-04:00",
        serve_at="2026-05-23T18:45:00-04:00",
        unit=TemperatureUnit.FAHRENHEIT,
        plan=Plan(
            "chicken_pieces", round(lb_to_kg(0.6), 2), f_to_c(325.0), f_to_c(305.0), f_to_c(350.0),
            rest_s=5 * 60.0,
        ),
        pieces=(
            Piece(breast, 0.30, seed=85, hidden={"probe_bias_c": 0.2}),
            Piece(thigh, 0.22, seed=185, hidden={"probe_bias_c": -0.2}),
        ),
        acts=(
            Act(E.NOTE, "Invented cook. Eight pieces; the weight is that of one breast.", 0.0),
            Act(E.TURNED, "skin up now, breasts to the cool side", 24.0, lid=0.25),
            Act(E.GLAZED, "molasses and chilli, thin", probe="breast", temp_c=f_to_c(145.0),
                lid=0.25, water_kg_m2=0.1),
        ),
        gap_min=8.0,
        fuel_notes=("a few lit coals",),
        vent_notes=("both vents wide", "bottom vent half"),
        spot_check="every piece checked: breasts 169 to 178, thighs 176 to 184",
        ending="all off together, the small ones had come off a little before",
        rest_min=6.0,
        served="on the porch",
        seed=613,
        dial=True,
        fire={
            "fire_sd_c": 6.0,
            "decay_c_per_h": 8.0,
            "gauge_offset_c": 4.0,
            "setpoint_c": 161.0,
            "start_pit_c": 150.0,
            "steady": 0.0,
        },
    )  # fmt: skip


SCENES = (_duck(), _shoulder(), _lamb(), _salmon(), _ham(), _chicken())
