"""The small grammar of the typed line. `app.line.card` is its one-page description."""

from __future__ import annotations

from dataclasses import replace

from app.line.body import BodyReader
from app.line.plan import PLAN_RULE
from app.line.tokens import Token, clean_line, tokens_of
from app.line.values import (
    DropLine,
    FixLine,
    LineContext,
    LineError,
    LineRef,
    LogLine,
    ParsedLine,
    PlanLine,
    Refusal,
    RestoreLine,
    Word,
)
from app.line.vocabulary import (
    DROP_WORDS,
    END_WORDS,
    FIX_WORDS,
    HELP_WORDS,
    PLAN_WORDS,
    REOPEN_WORDS,
    RESTORE_WORDS,
    UNDO_WORDS,
)
from app.line.when import is_time, read_when
from storage.errors import shown

_SINGLE = {
    **dict.fromkeys(UNDO_WORDS, Word.UNDO),
    **dict.fromkeys(HELP_WORDS, Word.HELP),
    **dict.fromkeys(END_WORDS, Word.END),
    **dict.fromkeys(REOPEN_WORDS, Word.REOPEN),
}
REF_RULE = "name the line by its number in the log, #12, or by its time, @14:20"


def parse_line(text: str, ctx: LineContext) -> ParsedLine | LineError:
    """Read one typed line.

    Parameters
    ----------
    text : str
    ctx : LineContext
        The cook that it is read against.

    Returns
    -------
    ParsedLine or LineError
        Never raises, whatever the text.
    """
    try:
        return _parse(text, ctx)
    except Refusal as refusal:
        return refusal.error


def _parse(text: str, ctx: LineContext) -> ParsedLine:
    line = clean_line(text)
    tokens = tokens_of(line)
    if not tokens:
        raise Refusal("found an empty line", "a line has a number or an event word")
    head = tokens[0].word
    if head in _SINGLE:
        if len(tokens) > 1 and head not in HELP_WORDS:
            raise Refusal(f"found {shown(tokens[1].raw)} after {head}", f"'{head}' stands alone")
        return _SINGLE[head]
    if head in FIX_WORDS:
        return _fix(line, tokens[1:], ctx)
    if head in DROP_WORDS:
        return DropLine(_only_ref(tokens, ctx))
    if head in RESTORE_WORDS:
        return RestoreLine(_only_ref(tokens, ctx))
    if head in PLAN_WORDS and len(tokens) > 1:
        value = line[tokens[2].start :] if len(tokens) > 2 else ""
        return PlanLine(tokens[1].word, value)
    if head in PLAN_WORDS:
        raise Refusal("found nothing after plan", PLAN_RULE)
    return BodyReader(line, tokens, ctx).read()


def _fix(line: str, tokens: tuple[Token, ...], ctx: LineContext) -> FixLine:
    ref = None
    if tokens and _is_ref(tokens[0]):
        ref, tokens = _ref(tokens[0], ctx), tokens[1:]
    if not tokens:
        raise Refusal("found no correction", "fix and what the line should have said: fix 305 132")
    # A time alone corrects the time; a body needs no reading then.
    if len(tokens) == 1 and is_time(tokens[0].word):
        when = read_when(tokens[0].word, ctx)
        return FixLine(ref, LogLine(when.at, told=when.told))
    return FixLine(ref, BodyReader(line, tokens, ctx).read())


def _is_ref(token: Token) -> bool:
    return token.word.startswith("#") or is_time(token.word)


def _ref(token: Token, ctx: LineContext) -> LineRef:
    if not token.word.startswith("#"):
        when = read_when(token.word, ctx)
        return LineRef(at=when.at, told=when.told)
    digits = token.word[1:]
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 9):
        raise Refusal(f"found {shown(token.raw)}", REF_RULE)
    return LineRef(number=int(digits))


def _only_ref(tokens: tuple[Token, ...], ctx: LineContext) -> LineRef:
    if len(tokens) == 2 and tokens[1].word.isascii() and tokens[1].word.isdigit():
        # `drop 12`: there is nothing else that a number could mean here.
        tokens = (tokens[0], replace(tokens[1], word=f"#{tokens[1].word}"))
    if len(tokens) != 2 or not _is_ref(tokens[1]):
        raise Refusal(f"found no line after {tokens[0].raw}", REF_RULE)
    return _ref(tokens[1], ctx)
