"""Sets past cooks side by side: each fitted once, then every one against the first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from app.presenters.compare import Compared
from core.errors import CoreError, ForecastCancelled
from storage.values import SavedCook

LETTERS = "ABCD"
FEWEST, MOST = 2, len(LETTERS)


def _never() -> bool:
    return False


def compare_cooks(
    saved: Sequence[SavedCook], cancelled: Callable[[], bool] = _never
) -> tuple[Compared, ...]:
    """Every cook fitted to its own readings, and set against the first.

    A cook that cannot be compared says why and keeps its place.

    Raises
    ------
    ForecastCancelled
    """
    fitted = [_fitted(letter, one, cancelled) for letter, one in zip(LETTERS, saved, strict=False)]
    first = fitted[0]
    return (first, *(_against(first, other, cancelled) for other in fitted[1:]))


def _fitted(letter: str, saved: SavedCook, cancelled: Callable[[], bool]) -> Compared:
    from core.compare import fit_past

    try:
        return Compared(letter, saved, fit_past(saved.cook, cancelled=cancelled))
    except ForecastCancelled:
        raise
    except CoreError as error:
        return Compared(letter, saved, reason=str(error))


def _against(first: Compared, other: Compared, cancelled: Callable[[], bool]) -> Compared:
    from core.compare import difference

    if first.fitted is None:
        reason = f"of {first.letter}, {first.reason}"
        return Compared(other.letter, other.saved, other.fitted, reason=reason)
    if other.fitted is None:
        return other
    found = difference(first.fitted, other.fitted, cancelled)
    reason = "" if found is not None else "by the model one of the two would never be done"
    return Compared(other.letter, other.saved, other.fitted, found, reason)
