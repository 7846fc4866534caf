"""The grammar of the typed line, clause by clause."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.line.card import CARD, card_text
from app.line.parse import parse_line
from app.line.values import (
    DropLine,
    FixLine,
    LineError,
    LogLine,
    RestoreLine,
    TypedEvent,
    Word,
)
from app.line.vocabulary import EVENT_PHRASES
from app.screens.words import word_means
from core.cook import EventKind
from core.units import TemperatureUnit, f_to_c
from tests.app.line.contexts import context


def logged(text: str, **changes: object) -> LogLine:
    parsed = parse_line(text, context(**changes))  # type: ignore[arg-type]
    assert isinstance(parsed, LogLine), parsed
    return parsed


def refused(text: str) -> str:
    parsed = parse_line(text, context())
    assert isinstance(parsed, LineError), parsed
    return parsed.message


def temps_f(line: LogLine) -> dict[str, float]:
    temps = dict(line.meat_c)
    if line.pit_c is not None:
        temps["pit"] = line.pit_c
    return {name: round(temp_c * 1.8 + 32.0, 6) for name, temp_c in temps.items()}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("305 128", {"pit": 305, "breast": 128}),
        ("305 128 131", {"pit": 305, "breast": 128, "left thigh": 131}),
        ("305 - 131", {"pit": 305, "left thigh": 131}),
        ("- 128", {"breast": 128}),
        ("305", {"pit": 305}),
        ("pit 310", {"pit": 310}),
        ("breast 131", {"breast": 131}),
        ("BREAST 131", {"breast": 131}),
        ("breast=131 pit:310", {"breast": 131, "pit": 310}),
        ("br 131", {"breast": 131}),
        ("left thigh 140 breast 131", {"left thigh": 140, "breast": 131}),
        ("305 breast 131", {"pit": 305, "breast": 131}),
        ("305, 128", {"pit": 305, "breast": 128}),
        ("305 128.5", {"pit": 305, "breast": 128.5}),
        ("305 128,5", {"pit": 305, "breast": 128.5}),
        ("305F 128f", {"pit": 305, "breast": 128}),
        ("305° 128º", {"pit": 305, "breast": 128}),
        ("305 °F 128 F", {"pit": 305, "breast": 128}),
        ("150c 52c", {"pit": 302, "breast": 125.6}),
        ("150 °C 52,5°C", {"pit": 302, "breast": 126.5}),
        ("breast 52c", {"breast": 125.6}),
        ("-5 20", {"pit": -5, "breast": 20}),
        ("\u22125 20", {"pit": -5, "breast": 20}),
        ("305 \u2013 131", {"pit": 305, "left thigh": 131}),
        ("  305\t128 ", {"pit": 305, "breast": 128}),
    ],
)
def test_readings(text: str, expected: dict[str, float]) -> None:
    assert temps_f(logged(text)) == pytest.approx(expected)


def test_the_cooks_own_unit_holds_for_bare_numbers() -> None:
    line = logged("150 54,5", unit=TemperatureUnit.CELSIUS)
    assert (line.pit_c, dict(line.meat_c)) == (150.0, {"breast": 54.5})
    assert logged("300f", unit=TemperatureUnit.CELSIUS).pit_c == pytest.approx(f_to_c(300.0))


@pytest.mark.parametrize(
    ("text", "kind", "note"),
    [
        ("lid", EventKind.LID_OPEN, ""),
        ("lid open", EventKind.LID_OPEN, ""),
        ("glaze", EventKind.GLAZED, ""),
        ("glazed quince jelly", EventKind.GLAZED, "quince jelly"),
        ("wrap in foil", EventKind.WRAPPED, "in foil"),
        ("unwrapped", EventKind.UNWRAPPED, ""),
        ("spritz apple juice", EventKind.SPRITZED, "apple juice"),
        ("turn", EventKind.TURNED, ""),
        ("coals 12 briquettes", EventKind.FUEL_ADDED, "12 briquettes"),
        ("wood cherry", EventKind.WOOD_ADDED, "cherry"),
        ("vents half", EventKind.VENTS, "half"),
        ("moved", EventKind.PROBE_MOVED, ""),
        ("probe moved deeper", EventKind.PROBE_MOVED, "deeper"),
        ("spot thigh 165", EventKind.SPOT_CHECK, "thigh 73.89 °C"),
        ("spot 74c, wing 170", EventKind.SPOT_CHECK, "spot 74 °C, wing 76.67 °C"),
        (
            "spot thigh 168 left breast 163",
            EventKind.SPOT_CHECK,
            "thigh 75.56 °C, left breast 72.78 °C",
        ),
        ("spot 165 at the thick end", EventKind.SPOT_CHECK, "165 °F at the thick end"),
        ("pull", EventKind.PULLED, ""),
        ("pulled at 165", EventKind.PULLED, "at 165"),
        ("serve", EventKind.SERVED, ""),
        ("note Wind; gusts @ the pit", EventKind.NOTE, "Wind; gusts @ the pit"),
        ("note now it rains", EventKind.NOTE, "now it rains"),
        ("away", EventKind.NOTE, "leftovers away"),
        ("leftovers away", EventKind.NOTE, "leftovers away"),
        ("note lid was loose", EventKind.NOTE, "lid was loose"),
        ("serve pulled apart", EventKind.SERVED, "pulled apart"),
    ],
)
def test_events(text: str, kind: EventKind, note: str) -> None:
    assert logged(text).events == (TypedEvent(kind, note),)


def test_every_event_kind_can_be_typed() -> None:
    assert set(EVENT_PHRASES) == set(EventKind)
    for kind, phrases in EVENT_PHRASES.items():
        for phrase in phrases:
            text = f"{phrase} at the rib 165" if kind is EventKind.SPOT_CHECK else phrase
            text = f"{phrase} words" if kind is EventKind.NOTE else text
            assert [event.kind for event in logged(text).events] == [kind], phrase


def test_readings_and_events_share_a_line() -> None:
    line = logged("305 128 lid")
    assert temps_f(line) == pytest.approx({"pit": 305, "breast": 128})
    assert line.events == (TypedEvent(EventKind.LID_OPEN),)
    line = logged("@14:20 305 128 spritz apple juice; turn; note gusty; cold")
    assert [event.kind for event in line.events] == [
        EventKind.SPRITZED,
        EventKind.TURNED,
        EventKind.NOTE,
    ]
    assert line.events[-1].note == "gusty; cold"


def test_an_event_may_follow_lid_at_once() -> None:
    assert logged("lid glaze honey").events == (
        TypedEvent(EventKind.LID_OPEN),
        TypedEvent(EventKind.GLAZED, "honey"),
    )


def test_a_probe_called_like_an_event_is_the_probe_when_a_number_follows() -> None:
    line = logged("wood 120", probes=("wood",))
    assert temps_f(line) == pytest.approx({"wood": 120})
    assert logged("wood cherry", probes=("wood",)).events[0].kind is EventKind.WOOD_ADDED


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", "empty line"),
        ("bananas", "'bananas'"),
        ("305 bananas", "'bananas'"),
        ("nan", "'nan'"),
        ("inf 20", "'inf'"),
        ("-inf", "'-inf'"),
        ("1e308", "'1e308'"),
        ("9" * 400, "allowed is -40 to 1112 °F"),
        ("１２８", "'１２８'"),
        ("٣٠٥", "'٣٠٥'"),
        ("²", "'²'"),
        ("400K", "'400k'"),
        ("305,128", "one number or two"),
        ("1.000", "one number or two"),
        ("305 128.25", "one number or two"),
        ("--5", "'--5'"),
        ("1113", "'1113'"),
        ("-41", "'-41'"),
        ("0x31", "'0x31'"),
        ("305 1 2 3", "4 numbers"),
        ("305 pit 310", "pit twice"),
        ("pit", "nothing after pit"),
        ("pit lid", "'lid' after pit"),
        ("breast 131 40", "behind a named reading"),
        ("lid 305 128", "'305 128' after an event"),
        ("turn 128", "'128' after an event"),
        ("lid closed", "lid closed"),
        ("note", "note without words"),
        ("spot thigh", "no temperature after spot"),
        ("spot thigh 9999", "'9999'"),
        ("14:20 305", "'14:20'"),
        ("@14:20", "nothing to log"),
        ("@14:20 305 @14:25", "second time"),
        ("undo it", "'it' after undo"),
        ("fix", "no correction"),
        ("fix #x 305", "'#x'"),
        ("drop", "no line after drop"),
        ("drop #1 #2", "no line after drop"),
        ("a\x1b[2Jb", "U+001B"),
        ("note \u202eevil", "U+202E"),
        ("note \ud800", "U+D800"),
        ("305\n128", "U+000A"),
        ("x" * 501, "501 characters"),
    ],
)
def test_refusals_say_what_was_found(text: str, found: str) -> None:
    message = refused(text)
    assert found in message
    assert message.endswith("Nothing was saved.")
    assert message.isprintable()


def test_words_about_the_log() -> None:
    assert parse_line("undo", context()) is Word.UNDO
    assert parse_line("?", context()) is Word.HELP
    assert parse_line("help line", context()) is Word.HELP
    assert parse_line("end", context()) is Word.END
    assert parse_line("reopen", context()) is Word.REOPEN


def test_corrections_name_a_line() -> None:
    fix = parse_line("fix 305 132", context())
    assert isinstance(fix, FixLine)
    assert fix.ref is None
    assert temps_f(fix.body) == pytest.approx({"pit": 305, "breast": 132})
    fix = parse_line("fix #12 - 132", context())
    assert isinstance(fix, FixLine)
    assert fix.ref is not None
    assert fix.ref.number == 12
    fix = parse_line("fix @14:20 305 132 @14:25", context())
    assert isinstance(fix, FixLine)
    assert fix.ref is not None
    assert fix.ref.at is not None
    assert fix.body.at == fix.ref.at + timedelta(minutes=5)
    only_time = parse_line("fix @14:20 -5m", context())
    assert isinstance(only_time, FixLine)
    assert only_time.body.at == context().now - timedelta(minutes=5)
    for text, kind in (("drop #3", DropLine), ("drop 3", DropLine), ("restore #3", RestoreLine)):
        parsed = parse_line(text, context())
        assert isinstance(parsed, kind)
        assert parsed.ref.number == 3


def test_the_card_is_true() -> None:
    """Everything on the card can be typed, each word of a row on its own where it stands alone."""
    for part in CARD:
        for text in (text for row in part.rows for text in row.typed.split("  ")):
            if part.heading == "On the screen":
                assert word_means(text), text
                continue
            line = f"305 {text}" if text.startswith(("@", "-")) else text
            assert not isinstance(parse_line(line, context()), LineError), text
    assert len(card_text().splitlines()) <= 24
    assert max(len(line) for line in card_text().splitlines()) <= 80
