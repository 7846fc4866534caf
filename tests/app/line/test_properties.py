"""Laws of the typed line: it never fails, and what it reads can be spelled and read again."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from app.line.parse import parse_line
from app.line.spell import spell_line
from app.line.values import LineError, LogLine
from app.line.vocabulary import COMMAND_WORDS, KIND_OF
from core.units import TemperatureUnit
from tests.app.line.contexts import context

WORDS = st.sampled_from(
    [
        *KIND_OF, *COMMAND_WORDS, "pit", "breast", "left", "thigh", "-", "305", "128", "52,5c",
        "126f", "°F", "º", "@14:20", "@2:20pm", "-10m", "-1h20m", "now", "at", ";", ",", "#3", "=",
        "nan", "1e308", "１２８", "@", "--", "half", "12", "briquettes", "note", "@home",
        "\u2212", "K",
    ]
)  # fmt: skip
LINES = st.one_of(st.text(max_size=60), st.lists(WORDS, max_size=9).map(" ".join))


@given(LINES, st.sampled_from(TemperatureUnit))
@settings(max_examples=600, deadline=None)
def test_any_text_is_read_or_refused_in_printable_words(text: str, unit: TemperatureUnit) -> None:
    parsed = parse_line(text, context(unit=unit))
    if isinstance(parsed, LineError):
        assert parsed.message.isprintable()
        assert len(parsed.message) < 400


@given(LINES, st.sampled_from(TemperatureUnit))
@settings(max_examples=600, deadline=None)
def test_what_is_read_is_spelled_so_that_it_is_read_the_same(
    text: str, unit: TemperatureUnit
) -> None:
    ctx = context(unit=unit)
    parsed = parse_line(text, ctx)
    if not isinstance(parsed, LogLine):
        return
    again = parse_line(spell_line(parsed, ctx), ctx)
    assert isinstance(again, LogLine), (spell_line(parsed, ctx), again)
    assert again.events == tuple(sorted(parsed.events, key=lambda e: e.kind == "note"))
    assert again.at == parsed.at
    assert [name for name, _ in again.meat_c] == [name for name, _ in parsed.meat_c]
    for (_, one), (_, other) in zip(again.meat_c, parsed.meat_c, strict=True):
        assert abs(one - other) < 1e-9
    assert (again.pit_c is None) == (parsed.pit_c is None)
    assert abs((again.pit_c or 0.0) - (parsed.pit_c or 0.0)) < 1e-9
    assert replace(again, told=()).events == again.events
