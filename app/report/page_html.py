"""The report as one HTML file: no script, nothing fetched, every word of a person escaped."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from importlib.resources import files

from app.display import one_line
from app.presenters.review import Section
from app.report.content import Report
from app.report.drawing import svg_of

POLICY = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; "
    "form-action 'none'"
)
"""What a browser may do with the page: nothing but show it."""

CHART_WORDS = "Pit and meat over the clock, with what happened and what was waited for."
MOVED_WORDS = (
    "Where the finish was seen at each time of the cook: the line is the median, the bands hold "
    "half and 8 of 10; the dashed line is when it was done."
)


def html_page(report: Report) -> str:
    """The whole file as text."""
    return "\n".join(_lines(report)) + "\n"


def _lines(report: Report) -> Iterator[str]:
    title = _safe(report.title)
    yield "<!DOCTYPE html>"
    yield '<html lang="en">'
    yield "<head>"
    yield '<meta charset="utf-8">'
    yield f'<meta http-equiv="Content-Security-Policy" content="{escape(POLICY)}">'
    yield '<meta name="referrer" content="no-referrer">'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">'
    yield f"<title>{title}</title>"
    style = files("app.report").joinpath("page.css").read_text(encoding="utf-8")
    yield f"<style>\n{style}</style>"
    yield "</head>"
    yield "<body>"
    yield "<main>"
    yield f"<h1>{title}</h1>"
    yield f'<p class="about">{_safe(report.about)}</p>'
    for part in report.story:
        yield f'<p class="story">{_safe(part)}</p>'
    yield from _figure(svg_of(report.chart, _safe(CHART_WORDS)), CHART_WORDS)
    for section in report.sections:
        yield from _section(section)
        if section.heading == "The forecast" and report.moved is not None:
            yield from _figure(svg_of(report.moved, _safe(MOVED_WORDS)), MOVED_WORDS)
    yield from _log(report)
    yield "<h2>Cautions</h2>"
    yield '<ul class="cautions">'
    yield from (f"<li>{_safe(caution)}</li>" for caution in report.cautions)
    yield "</ul>"
    yield "</main>"
    yield f"<footer>Made {_safe(report.made)}.</footer>"
    yield "</body>"
    yield "</html>"


def _safe(text: str) -> str:
    """A text with nothing in it that a browser acts on."""
    return escape(one_line(text))


def _figure(svg: str, words: str) -> Iterator[str]:
    yield "<figure>"
    yield svg
    yield f"<figcaption>{_safe(words)}</figcaption>"
    yield "</figure>"


def _section(section: Section) -> Iterator[str]:
    yield f"<h2>{_safe(section.heading)}</h2>"
    yield "<dl>"
    for name, words in section.rows:
        if name:
            yield f"<dt>{_safe(name)}</dt><dd>{_safe(words)}</dd>"
        else:
            yield f'<dd class="alone">{_safe(words)}</dd>'
    yield "</dl>"


def _log(report: Report) -> Iterator[str]:
    yield "<h2>The log</h2>"
    if not report.rows:
        yield "<p>Nothing was logged.</p>"
        return
    yield '<div class="log"><table>'
    heads = "".join(f'<th scope="col">{_safe(head)}</th>' for head in report.heading)
    yield f"<thead><tr>{heads}</tr></thead>"
    yield "<tbody>"
    for row in report.rows:
        yield f"<tr>{''.join(f'<td>{_safe(cell)}</td>' for cell in row)}</tr>"
    yield "</tbody></table></div>"
