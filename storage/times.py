"""Instants between aware datetimes and whole UTC microseconds, and offsets as text."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_MICROSECOND = timedelta(microseconds=1)


def to_us(at: datetime) -> int:
    """Microseconds since 1970 UTC of an aware datetime, exact."""
    return (at - _EPOCH) // _MICROSECOND


def from_us(at_us: int) -> datetime:
    """Aware UTC datetime of microseconds since 1970 UTC, exact."""
    return _EPOCH + at_us * _MICROSECOND


def optional_from_us(at_us: int | None) -> datetime | None:
    """As `from_us`, None stays None."""
    return None if at_us is None else from_us(at_us)


def seconds_between(later_us: int, earlier_us: int) -> float:
    """Seconds from one instant to another."""
    return (later_us - earlier_us) / 1e6


def zone_text(at: datetime) -> str:
    """Offset of an aware datetime as text: ``Z`` if it was given so, else like ``-05:00``."""
    if at.tzname() == "Z":
        return "Z"
    offset = at.utcoffset()
    if offset is None:
        raise ValueError("the time has no offset")
    minutes = round(offset.total_seconds() / 60)
    sign = "-" if minutes < 0 else "+"
    return f"{sign}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def zone_from_text(text: str) -> timezone:
    """Fixed zone of an offset as `zone_text` writes it; ``Z`` keeps its name."""
    if text in ("Z", "z"):
        return timezone(timedelta(0), "Z")
    sign = -1 if text[0] == "-" else 1
    return timezone(sign * timedelta(hours=int(text[1:3]), minutes=int(text[4:6])))


def in_zone(at_us: int, text: str) -> datetime:
    """Aware datetime at that offset."""
    return from_us(at_us).astimezone(zone_from_text(text))


def iso_text(at: datetime) -> str:
    """ISO 8601 text with the offset as it was given."""
    zone = zone_text(at)
    return at.astimezone(zone_from_text(zone)).replace(tzinfo=None).isoformat() + zone
