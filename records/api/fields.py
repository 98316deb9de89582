"""What stands in a body: texts that stay as they were typed, instants that are unambiguous."""

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from records.errors import NOT_TEXT, TOO_LONG, storable


@extend_schema_field(OpenApiTypes.STR)
class Text(serializers.Field[str, Any, str, Any]):
    """A text as it was typed; a JSON number is refused, since 7.10 would become 7.1."""

    default_error_messages = {
        "not_a_text": gettext_lazy("Send this as text, in quotes: “7.10”, not 7.1."),
        "blank": gettext_lazy("This is still needed."),
    }

    def __init__(self, *, longest: int = 60, blank: bool = False, **options: Any) -> None:
        super().__init__(**options)
        self.longest, self.blank = longest, blank

    def to_internal_value(self, data: Any) -> str:
        if not isinstance(data, str):
            self.fail("not_a_text")
        if not storable(data):
            raise serializers.ValidationError(_(NOT_TEXT), code="not_text")
        if len(data) > self.longest:
            told = _(TOO_LONG) % {"longest": str(self.longest)}
            raise serializers.ValidationError(told, code="too_long")
        if not data.strip() and not self.blank:
            self.fail("blank")
        return data

    def to_representation(self, value: str) -> str:
        return value


@extend_schema_field(OpenApiTypes.DATETIME)
class Instant(serializers.Field[datetime, Any, str, Any]):
    """A time with its offset from UTC (RFC 3339); shown in UTC."""

    default_error_messages = {
        "not_an_instant": gettext_lazy(
            "Give date and time with the offset from UTC, such as 2026-03-10T12:00:00-05:00."
        ),
    }

    def to_internal_value(self, data: Any) -> datetime:
        try:
            instant = datetime.fromisoformat(data)
        except (TypeError, ValueError):
            self.fail("not_an_instant")
        if instant.tzinfo is None or not 1970 <= instant.year <= 2200:
            self.fail("not_an_instant")
        return instant.astimezone(UTC)

    def to_representation(self, value: datetime) -> str:
        return value.astimezone(UTC).isoformat().replace("+00:00", "Z")


@extend_schema_field(OpenApiTypes.STR)
class Word(serializers.Field[str, Any, str, Any]):
    """A key said in the reader's language, by a table of marked words."""

    def __init__(self, table: Mapping[str, str], **options: Any) -> None:
        super().__init__(read_only=True, **options)
        self.table = table

    def to_representation(self, value: str) -> str:
        word = self.table.get(value, "")
        return _(word) if word else ""


class Strict(serializers.Serializer[Any]):
    """A part of a body in which nothing unknown is passed over: a slip of a name is told."""

    def to_internal_value(self, data: Any) -> Any:
        if isinstance(data, Mapping):
            unknown = [str(key) for key in data if key not in self.fields]
            if unknown:
                told = _("This is not known here. Known are: %(known)s.") % {
                    "known": ", ".join(self.fields)
                }
                raise serializers.ValidationError(
                    {key[:60]: serializers.ErrorDetail(told, "unknown") for key in unknown}
                )
        return super().to_internal_value(data)
