"""Refusals as RFC 9457 problem details: where in the body, a code for programs, a sentence for
people."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any

from django.utils.translation import gettext as _
from rest_framework.exceptions import ErrorDetail, NotAuthenticated, ValidationError
from rest_framework.response import Response
from rest_framework.views import exception_handler

from records.errors import KeyConflict, Moved, NotAllowed, RecordError

MEDIA_TYPE = "application/problem+json"
_STATUS = ((NotAllowed, 403), (KeyConflict, 409), (Moved, 409), (RecordError, 422))


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One thing that can't be used: its place in the body, a code, a sentence.

    `token` is what to send in `confirmed` where the sentence asks to look again.
    """

    place: tuple[str, ...]
    code: str
    detail: str
    token: str = ""

    def shown(self) -> dict[str, str]:
        """Return the fault with its place as a JSON pointer (RFC 6901)."""
        parts = (part.replace("~", "~0").replace("/", "~1") for part in self.place)
        shown = {
            "pointer": "#" + "".join(f"/{part}" for part in parts),
            "code": self.code,
            "detail": self.detail,
        }
        return shown | ({"token": self.token} if self.token else {})


class Unusable(Exception):  # noqa: N818
    """What was sent can't be used; nothing of it is stored."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        super().__init__("unusable")
        self.faults = tuple(faults)


def answer(error: Exception, context: dict[str, Any]) -> Response | None:
    """Return a refusal as problem details, or None for a fault of our own."""
    if isinstance(error, Unusable):
        return _problem(422, faults=error.faults)
    if isinstance(error, ValidationError):
        return _problem(422, faults=tuple(_faults(error.detail)))
    if isinstance(error, RecordError):
        status = next(status for kind, status in _STATUS if isinstance(error, kind))
        if error.field:
            fault = Fault(place=(error.field,), code=error.code, detail=str(error))
            return _problem(status, faults=(fault,))
        return _problem(status, detail=_sentence(error))
    response = exception_handler(error, context)
    if response is None:
        return None
    told = response.data.get("detail", "") if isinstance(response.data, dict) else ""
    if isinstance(error, NotAuthenticated):
        told = _("Send a token: “Authorization: Bearer …”.")
    if response.status_code == HTTPStatus.NOT_FOUND:
        told = _("This does not exist, or may not be seen with this token.")
    again = _problem(response.status_code, detail=str(told))
    for name in ("WWW-Authenticate", "Retry-After", "Allow"):
        if name in response.headers:
            again.headers[name] = response.headers[name]
    return again


def _sentence(error: RecordError) -> str:
    """Return a refusal's sentence; one that speaks of a page is said anew."""
    if isinstance(error, KeyConflict):
        return _("Something else was already sent under this key. Send this under a new key.")
    return str(error)


def _problem(status: int, *, detail: str = "", faults: Sequence[Fault] = ()) -> Response:
    said = detail or _("Some of what was sent can't be used. Nothing was stored.")
    body: dict[str, Any] = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": said,
    }
    if faults:
        body["errors"] = [fault.shown() for fault in faults]
    return Response(_writable(body), status=status, content_type=MEDIA_TYPE)


def _writable(value: Any) -> Any:
    """Return the same with every text as UTF-8 can hold it: a sentence may quote what was sent."""
    match value:
        case str():
            return value.encode("utf-8", "backslashreplace").decode()
        case dict():
            return {key: _writable(each) for key, each in value.items()}
        case list():
            return [_writable(each) for each in value]
        case _:
            return value


def _faults(detail: Any, place: tuple[str, ...] = ()) -> Iterator[Fault]:
    """Yield what a serializer found wrong, wherever it lies."""
    if isinstance(detail, dict):
        for key, inner in detail.items():
            own = key == "non_field_errors"
            yield from _faults(inner, place if own else (*place, str(key)))
    elif isinstance(detail, list):
        for number, inner in enumerate(detail):
            nested = isinstance(inner, dict | list)
            yield from _faults(inner, (*place, str(number)) if nested else place)
    else:
        code = detail.code if isinstance(detail, ErrorDetail) else ""
        yield Fault(place=place, code=str(code or "invalid"), detail=str(detail))
