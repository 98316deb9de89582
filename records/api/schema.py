"""The API's OpenAPI schema: the refusals that its addresses share, and how it names the token.

Its words are for who writes programs, and stay English.
"""

from typing import Any

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.utils import OpenApiResponse
from rest_framework import serializers

from records.api.problems import MEDIA_TYPE

WORDS = {
    400: "The body is no JSON that can be read.",
    401: "No token, or one that is not known, has ended or was revoked.",
    403: "The token or its person's role does not allow this.",
    404: "This does not exist, or may not be seen with this token.",
    409: "Something else was already sent under this key.",
    413: "The body is too large.",
    415: "Send JSON.",
    422: "Some of what was sent can't be used; nothing was stored.",
}


class FaultOut(serializers.Serializer[Any]):
    """One thing that can't be used."""

    pointer = serializers.CharField(help_text="Its place in the body: a JSON pointer (RFC 6901).")
    code = serializers.CharField()
    detail = serializers.CharField()
    token = serializers.CharField(
        required=False, help_text="What to send in `confirmed` if it is right as it stands."
    )


class ProblemOut(serializers.Serializer[Any]):
    """A refusal (RFC 9457)."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()
    errors = FaultOut(many=True, required=False)


def refusals(*statuses: int) -> dict[Any, OpenApiResponse]:
    """Return the refusals of an address, for its schema."""
    return {
        (status, MEDIA_TYPE): OpenApiResponse(ProblemOut, description=WORDS[status])
        for status in statuses
    }


class BearerScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    """How the schema names the token."""

    target_class = "records.api.authentication.BearerAuthentication"
    name = "token"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        return {"type": "http", "scheme": "bearer"}
