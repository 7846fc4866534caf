"""What the command palette offers, where the screen that is shown can do it."""

from __future__ import annotations

from app.presenters.alerts import ABOUT, SNOOZE_MIN, AlertKind

COMMANDS = (
    ("Help card", "Every word of the entry line and every key", "app.help"),
    ("Lines", "Pick a line of the log to correct or delete it", "mode('lines')"),
    ("Read the chart", "Move a cursor over the chart", "mode('chart')"),
    ("Zoom the chart", "Whole cook, last two hours, now to the finish", "zoom"),
    ("Patio view", "Finish, next look and fire in large letters", "patio"),
    ("Fire page", "Band, trend, vents, fuel, wood and lid", "page('fire')"),
    ("Levers page", "What would change the chance of being ready", "page('levers')"),
    ("Tables page", "Published minimum, times and limits beside this cook", "page('tables')"),
    ("Snooze the alerts", f"Quiet for {SNOOZE_MIN:g} minutes", f"snooze({SNOOZE_MIN:g})"),
    *(
        (f"Alert {kind}: on or off", f"Calls when {ABOUT[kind]}", f"alert_kind('{kind}')")
        for kind in AlertKind
    ),
    ("Ledger", "Past cooks: look back, compare, search", "app.ledger"),
    ("What was learned", "What your own cooks of this cut taught, in the Ledger", "learned"),
    ("Learning: on or off", "Whether your own cooks sharpen the forecast", "learning"),
    ("New cook", "The start form", "app.new"),
    ("Other cook", "The next one in hand, where several are on the fire", "app.other_cook"),
    ("Dayline", "The day counted back from the meal", "app.dayline"),
    ("Brines and rubs", "Strength, time, and your own list of mixes", "app.mixes"),
    ("Plan of the day", "Change what is wished for", "edit"),
    ("Meat on", "Start the cook from the day", "start"),
    ("Close the day", "The planned day is over", "close"),
    ("Start the cook", "Put the form into the file and go on to the live screen", "begin"),
    ("Sample cook", "An invented cook, replayed faster than life", "app.sample"),
    ("Dark palette", "For the evening", "app.palette('dusk')"),
    ("Light palette", "For daylight", "app.palette('noon')"),
    ("Pause the replay", "Stop or go on", "pause"),
    ("Faster replay", "Twice the speed", "speed(2)"),
    ("Slower replay", "Half the speed", "speed(0.5)"),
    ("Quit", "Everything is saved", "app.quit"),
)
