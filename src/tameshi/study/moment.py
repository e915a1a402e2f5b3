"""Moments: given with a time zone, kept in UTC."""

from datetime import UTC, datetime

from sqlalchemy import DateTime, Dialect, TypeDecorator

from tameshi.errors import WrongUseError


class Moment(TypeDecorator[datetime]):
    """A column of moments. Some databases do not keep the zone, so it is put back when read."""

    impl = DateTime(timezone=True)
    cache_ok = True

    @property
    def python_type(self) -> type[datetime]:
        """What its cells are."""
        return datetime

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Return the moment in UTC."""
        return None if value is None else value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        """Return the moment with its zone."""
        return None if value is None else value.replace(tzinfo=UTC)


def refuse_without_zone(at: datetime) -> None:
    """Refuse a moment that does not say in which time zone it is.

    Raises
    ------
    WrongUseError
    """
    if at.utcoffset() is None:
        raise WrongUseError(
            "zone-missing",
            f"The time {at.isoformat()} has no time zone.",
            hint="Give it as UTC, for example.",
        )
