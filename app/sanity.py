"""Whether a forecast is made of numbers: one that is not must never reach the screens."""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass
from typing import Any

from core.answers import Forecast
from core.errors import ForecastFailed


def checked(forecast: Forecast) -> Forecast:
    """The same forecast; raises ForecastFailed if any of its numbers is none.

    Infinite is allowed: that is what never stands for.
    """
    for field in fields(forecast):
        if not _all_numbers(getattr(forecast, field.name)):
            raise ForecastFailed(f"{field.name}: not a number")
    return forecast


def _all_numbers(value: Any) -> bool:
    if isinstance(value, float):
        return not math.isnan(value)
    if isinstance(value, tuple):
        return all(_all_numbers(part) for part in value)
    if is_dataclass(value):
        return all(_all_numbers(getattr(value, field.name)) for field in fields(value))
    if hasattr(value, "dtype") and value.dtype.kind == "f":
        return not bool((value != value).any())  # only what is not a number differs from itself
    return True
