"""The system's time zone as one `tzinfo` that follows daylight saving on any date.

``datetime.now().astimezone().tzinfo`` is a fixed offset: right today, wrong by an hour on the other
side of a clock change. This one asks the system for every instant, and honours ``fold``.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone, tzinfo


class SystemZone(tzinfo):
    """Local time as the operating system keeps it (``TZ`` included)."""

    def _local(self, when: datetime | None) -> datetime:
        naive = datetime(2000, 1, 1) if when is None else when.replace(tzinfo=None)  # noqa: DTZ001
        return naive.astimezone()

    def utcoffset(self, when: datetime | None) -> timedelta | None:
        """Offset from UTC at that local time."""
        return self._local(when).utcoffset()

    def dst(self, when: datetime | None) -> timedelta | None:
        """Not known: the system tells the whole offset only."""
        return None

    def tzname(self, when: datetime | None) -> str | None:
        """Abbreviation at that local time."""
        return self._local(when).tzname()

    def fromutc(self, when: datetime) -> datetime:
        """Local time of an instant, with ``fold`` set in the second pass of a repeated hour."""
        fixed = when.replace(tzinfo=UTC).astimezone()
        naive = fixed.replace(tzinfo=None, fold=0)
        fold = 0 if naive.astimezone().utcoffset() == fixed.utcoffset() else 1
        return naive.replace(tzinfo=self, fold=fold)

    def __repr__(self) -> str:
        """Name for error messages and logs."""
        return "SystemZone()"


SYSTEM_ZONE = SystemZone()


def with_offset(at: datetime, zone: tzinfo) -> datetime:
    """The instant in `zone`, with the offset of that moment fixed.

    Python subtracts two datetimes of one zone by the wall clock, which is an hour wrong across a
    clock change. Datetimes that are kept or subtracted have a fixed offset, or are in UTC.
    """
    local = at.astimezone(zone)
    return local.replace(tzinfo=timezone(local.utcoffset() or timedelta(0)), fold=0)


def system_clock() -> datetime:
    """The present, in UTC. The one place where the program asks for it."""
    return datetime.now(UTC)
