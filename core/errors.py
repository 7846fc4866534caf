"""Errors that core raises on purpose, each with its data on the instance."""

from __future__ import annotations


class CoreError(Exception):
    """Base of the errors core raises on purpose."""


class UnknownCut(CoreError):
    """A cut key that the catalogue does not hold."""

    def __init__(self, key: str, allowed: tuple[str, ...]) -> None:
        super().__init__(f"unknown cut {key!r}; allowed are {', '.join(allowed)}")
        self.key, self.allowed = key, allowed


class InvalidValue(CoreError):
    """A value outside what the model or the trade allows."""

    def __init__(self, field: str, found: object, allowed: str) -> None:
        super().__init__(f"{field} is {found!r}; allowed is {allowed}")
        self.field, self.found, self.allowed = field, found, allowed


class ForecastCancelled(CoreError):
    """The caller asked the forecast to stop before it was finished."""


class ForecastFailed(CoreError):
    """The fit produced nothing usable."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason
