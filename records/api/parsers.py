"""Reading what was sent: JSON of a bounded size and depth."""

from collections.abc import Mapping
from typing import IO, Any

from django.utils.translation import gettext as _
from rest_framework import status
from rest_framework.exceptions import APIException, ParseError
from rest_framework.parsers import JSONParser

# A sample of all tests is a tenth of this: rule of our own.
MOST_BYTES = 256 * 1024


class TooLarge(APIException):
    """More was sent than any sample holds."""

    status_code = status.HTTP_413_REQUEST_ENTITY_TOO_LARGE
    default_code = "too_large"


class BoundedJSONParser(JSONParser):
    """JSON that a program can't choke on."""

    def parse(
        self,
        stream: IO[bytes],
        media_type: str | None = None,
        parser_context: Mapping[str, Any] | None = None,
    ) -> Any:
        length = (parser_context or {})["request"].META.get("CONTENT_LENGTH") or "0"
        if not length.isdigit() or int(length) > MOST_BYTES:
            raise TooLarge(_("This is too much for one sample."))
        try:
            return super().parse(stream, media_type, parser_context)
        except RecursionError as error:
            raise ParseError(_("This is nested too deeply.")) from error
