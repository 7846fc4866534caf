"""Reports: what stands on the page, and that nothing on it acts."""

from __future__ import annotations

import re
import struct
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.cli import report as report_command
from app.display import Display
from app.report.content import Report, report_of
from app.report.drawing import our_style
from app.report.measure import column_widths, width_in, wrapped
from app.report.page_html import POLICY, html_page
from app.report.sheets import PAGE_IN, PICTURE_ROWS, pdf_bytes, png_bytes
from core.cook import Event, EventKind, Probe
from core.units import MassUnit, TemperatureUnit
from storage.store import Store, open_store
from storage.values import Outcome
from tests.app.cli.runs import DUCK, Terminal
from tests.storage.samples import GOOSE, NOW, at, happened, reading, typed

DISPLAY = Display(TemperatureUnit.CELSIUS, MassUnit.KILOGRAM, NOW.tzinfo)  # type: ignore[arg-type]

HOSTILE = (
    '<script>alert(1)</script>',
    '"><img src=x onerror=alert(1)>',
    "'--></style><svg/onload=alert(1)>",
    "&lt;b&gt; & <b>",
    "$\\frac{1}{0}$ and $unclosed",
    "\x1b[31mred\x1b[0m and \u202eback",
    "\u6f22\u5b57 \U0001f986 \u0301",
)  # fmt: skip


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An open store on a new file."""
    opened = open_store(tmp_path / "cooks.sqlite3", now=NOW)
    yield opened
    opened.close()


def cooked(store: Store, title: str = "Goose (invented)", note: str = "wind got up") -> int:
    """A goose from meat-on to the table."""
    cook_id = store.create_cook(replace(GOOSE, title=title))
    for minute in range(0, 200, 20):
        share = minute / 180.0
        store.add_line(
            cook_id,
            **typed(minute, 150.0 + minute % 30, thigh=5.0 + 76 * share, breast=4.5 + 71 * share),
        )
    store.add_line(cook_id, **happened(60, EventKind.NOTE, note))
    store.add_line(cook_id, **happened(90, EventKind.LID_OPEN, note))
    store.add_line(cook_id, **happened(185, EventKind.PULLED))
    store.end_cook(cook_id, at(200))
    return cook_id


def made(store: Store, cook_id: int) -> Report:
    return report_of(store, cook_id, at(600), DISPLAY)


class Page(HTMLParser):
    """The elements, attributes and words of a page."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str, str | None]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attrs]

    def handle_data(self, data: str) -> None:
        if self.tags and self.tags[-1] != "style":
            self.words.append(data)


ALLOWED = {
    "html", "head", "meta", "title", "style", "body", "main", "h1", "h2", "p", "figure",
    "figcaption", "dl", "dt", "dd", "div", "table", "thead", "tbody", "tr", "th", "td", "ul", "li",
    "footer", "svg", "g", "path", "use", "defs", "rect", "clippath", "filter", "fegaussianblur",
}  # fmt: skip


def check_still(text: str) -> Page:
    """The page, once it is sure that it has no script and fetches nothing."""
    page = Page(text)
    assert set(page.tags) <= ALLOWED, set(page.tags) - ALLOWED
    for tag, name, value in page.attributes:
        assert not name.startswith("on"), (tag, name)
        if name in ("href", "xlink:href", "src", "action", "data", "poster", "srcset"):
            assert (value or "").startswith("#"), (tag, name, value)
        if name == "style":
            assert "url(" not in (value or "").replace("url(#", "")
    style = text[text.index("<style>") : text.index("</style>")]
    assert "@import" not in style
    assert "url(" not in style
    policy = [v for t, n, v in page.attributes if t == "meta" and n == "content"]
    assert POLICY in policy
    return page


def test_the_page_tells_the_whole_cook(store: Store) -> None:
    cook_id = cooked(store)
    store.outcomes.save(cook_id, Outcome(4, 3, 5, None, "crisp skin", "a lower pit", "cherry"))
    store.mixes.keep(cook_id, "Plain brine", "brine", ("water 3 L", "salt 150 g"), 4.6, at(-900))
    report = made(store, cook_id)
    page = check_still(html_page(report))
    words = " ".join(page.words)
    for expected in (
        "Goose (invented)", "What held it back", "Times", "The forecast", "The pit",
        "tender 4, juicy 3, skin or bark 5", "crisp skin", "a lower pit", "cherry",
        "Plain brine: water 3 L, salt 150 g", "note: wind got up", "lid open: wind got up",
        "Check several spots with a thermometer you have verified", "carbon monoxide",
        "Keep raw poultry and brine at or below 4 °C / 40 °F",
    ):  # fmt: skip
        assert expected in words, expected
    assert page.tags.count("svg") == 2
    assert len(report.rows) == page.tags.count("tr") - 1 == 13
    assert re.search(r"\bsafe\b", words, re.IGNORECASE) is None


def test_the_log_is_in_time_order_with_the_numbers_that_were_typed(store: Store) -> None:
    cook_id = store.create_cook(GOOSE)
    store.add_line(cook_id, **typed(30, None, breast=9.25))
    store.add_line(cook_id, **typed(10.5, 151.5, thigh=7.0))
    store.add_line(cook_id, **happened(20, EventKind.VENTS, "half"))
    gone = store.add_line(cook_id, **typed(25, 1.0))
    store.delete_line(gone.id)
    report = made(store, cook_id)
    assert report.heading == ("clock", "min", "pit °C", "thigh °C", "breast °C", "what happened")
    assert [row[1:] for row in report.rows] == [
        ("10.5", "151.5", "7", "", ""), ("20", "", "", "", "vents: half"),
        ("30", "", "", "9.2", ""),
    ]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_what_a_person_wrote_is_shown_and_does_nothing(store: Store, text: str) -> None:
    cook_id = cooked(store, title=f"Goose {text}", note=text)
    store.outcomes.save(cook_id, Outcome(words=text, change=text, wood=text))
    store.mixes.keep(cook_id, "mix", "rub", (text,), None, at(0))
    names = (Probe('a<b>"&', 80.0), *GOOSE.probes)
    store.change_plan(cook_id, GOOSE.plan, names)
    store.add_line(cook_id, **typed(35, 150.0, **{'a<b>"&': 20.0}))
    report = made(store, cook_id)
    page = check_still(html_page(report))
    words = "".join(page.words)
    shown = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)
    assert words.count(shown) >= 6 or "\u0301" in text
    assert "\x1b" not in words
    assert "\u202e" not in words


def test_sheets_take_letters_that_their_font_lacks(store: Store) -> None:
    text = " ".join(HOSTILE)
    report = made(store, cooked(store, title=text[:80], note=text))
    assert pdf_bytes(report).startswith(b"%PDF-")
    assert png_bytes(report).startswith(b"\x89PNG")


@settings(max_examples=20, deadline=None)
@given(st.text(max_size=40))
def test_any_title_makes_a_still_page(text: str) -> None:
    heading = ("clock", text, "what happened")
    view = _an_empty_chart()
    page = Report(text, text, (text,), view, None, (), heading, (("1", text, text),), (text,), text)
    check_still(html_page(page))


def _an_empty_chart():  # type: ignore[no-untyped-def]
    from app.presenters.chart import ChartView

    return ChartView(at(0), DISPLAY.zone, "°C", 0.0, 3600.0, 0.0, 100.0, 3600.0)


def test_the_same_cook_makes_the_same_page(store: Store) -> None:
    cook_id = cooked(store)
    assert html_page(made(store, cook_id)) == html_page(made(store, cook_id))


def test_a_cook_in_hand_without_probes_and_one_without_readings(store: Store) -> None:
    in_hand = store.create_cook(GOOSE)
    store.add_line(in_hand, **typed(0, 150.0, thigh=5.0, breast=5.0))
    store.add_line(in_hand, **typed(30, 150.0, thigh=9.0, breast=10.0))
    unprobed = store.create_cook(replace(GOOSE, probes=()))
    store.add_line(unprobed, **typed(0, 150.0))
    untouched = store.create_cook(GOOSE)
    for cook_id in (in_hand, unprobed, untouched):
        report = report_of(store, cook_id, at(45), DISPLAY)
        check_still(html_page(report))
        assert png_bytes(report).startswith(b"\x89PNG")
    assert report_of(store, in_hand, at(45), DISPLAY).chart.bands
    assert "Nothing was logged." in html_page(report_of(store, untouched, at(45), DISPLAY))


def test_a_long_log_fills_pages_that_repeat_its_heading(store: Store) -> None:
    cook_id = cooked(store)
    rows = tuple(reading(minute / 2, 150.0, thigh=20.0) for minute in range(300))
    store.add_line(cook_id, **{**typed(0), "readings": rows})
    report = made(store, cook_id)
    pages = pdf_bytes(report)
    count = len(re.findall(rb"/Type /Page\b", pages))
    assert 5 <= count <= 9
    assert all(
        (float(w), float(h)) == pytest.approx([72 * side for side in PAGE_IN], abs=0.5)
        for w, h in re.findall(rb"/MediaBox \[ 0 0 ([\d.]+) ([\d.]+) \]", pages)
    )
    width, height = struct.unpack(">II", png_bytes(report)[16:24])
    assert width == pytest.approx(130 * PAGE_IN[0], abs=2)
    assert 3000 < height < 9000
    assert len(report.rows) > PICTURE_ROWS


def test_a_target_below_the_published_minimum_keeps_its_caution(store: Store) -> None:
    low = replace(GOOSE, probes=(Probe("breast", 60.0, 5.0),))
    cook_id = store.create_cook(low)
    report = made(store, cook_id)
    assert any(caution.startswith("Below the published minimum") for caution in report.cautions)


@settings(max_examples=40, deadline=None)
@given(st.text(st.characters(exclude_categories=["C", "Z", "M"]), max_size=60), st.floats(0.3, 4.0))
def test_lines_hold_all_words_and_fit(words: str, room: float) -> None:
    with our_style():
        lines = wrapped(words, 8.5, room)
        assert "".join(lines).replace(" ", "") == words.replace(" ", "")
        assert all(width_in(line, 8.5, False) <= room + 0.05 or len(line) == 1 for line in lines)


def test_columns_fill_the_line_and_leave_room_for_words() -> None:
    with our_style():
        widths = column_widths((("clock", "x" * 400, "12"), ("1", "y", "words")), 8.0, 7.3)
    assert sum(widths) == pytest.approx(7.3)
    assert widths[-1] > 3.0


# the command


@pytest.fixture
def terminal(tmp_path: Path) -> Terminal:
    """A sample in the data file."""
    terminal = Terminal(tmp_path / "data" / "cooks.sqlite3")
    terminal.ok("import", str(DUCK))
    return terminal


@pytest.mark.parametrize(
    ("name", "start"), [("a.html", b"<!DOCTYPE html>"), ("b.PDF", b"%PDF-"), ("c.png", b"\x89PNG")]
)
def test_the_ending_of_the_name_says_what_it_becomes(
    terminal: Terminal, tmp_path: Path, name: str, start: bytes
) -> None:
    path = tmp_path / name
    assert str(path) in terminal.ok("report", "1", "-o", str(path)).out
    assert path.read_bytes().startswith(start)


def test_what_cannot_be_written_is_said(terminal: Terminal, tmp_path: Path) -> None:
    assert "ending in .html, .pdf, .png" in terminal.run("report", "1", "-o", "x.doc").err
    missing = terminal.run("report", "7", "-o", str(tmp_path / "x.html"))
    assert (missing.code, "no cook 7" in missing.err) == (2, True)
    nowhere = terminal.run("report", "1", "-o", str(tmp_path / "no" / "x.html"))
    assert (nowhere.code, "could not be written" in nowhere.err) == (1, True)
    assert terminal.run("report", "1").code == 2
    assert list(tmp_path.glob("*.html")) == []


def test_without_matplotlib_it_says_how_to_get_it(
    terminal: Terminal, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(report_command, "find_spec", lambda name: None)
    result = terminal.run("report", "1", "-o", str(tmp_path / "x.html"))
    assert result.code == 1
    assert "pip install 'doneby[report]'" in result.err
    assert list(tmp_path.glob("*.html")) == []


def test_events_alone_make_a_chart(store: Store) -> None:
    cook_id = store.create_cook(GOOSE)
    events = tuple(Event(60.0 * n, EventKind.NOTE, f"n{n}") for n in range(60))
    store.add_line(cook_id, **{**happened(0, EventKind.NOTE), "events": events})
    assert png_bytes(made(store, cook_id)).startswith(b"\x89PNG")
