"""Who asks: the bearer of a token (RFC 6750). No session and no cookie opens the API."""

from django.core.cache import cache
from django.utils.translation import gettext as _
from rest_framework.authentication import BaseAuthentication, get_authorization_header
from rest_framework.exceptions import AuthenticationFailed, Throttled
from rest_framework.request import Request

from records.access import actor_by_token
from records.actors import Actor
from records.models import User

# Wrong tokens from one address in a minute before it is told to wait: rule of our own.
MOST_WRONG = 20
_WHILE_SECONDS = 60
_LONGEST_SECRET = 200


class BearerAuthentication(BaseAuthentication):
    """Read `Authorization: Bearer <token>`; `request.auth` is then the actor at the token's plant.

    A secret of 256 bits is not guessed: wrong ones are slowed down so that a misled program is
    told to stop. A right one passes whatever others at the same address send.
    """

    def authenticate(self, request: Request) -> tuple[User, Actor] | None:
        scheme, _blank, secret = get_authorization_header(request).partition(b" ")
        if not scheme:
            return None
        if scheme.lower() != b"bearer":
            raise AuthenticationFailed(_("Send a token: “Authorization: Bearer …”."))
        actor = _actor(secret.strip())
        if actor is None:
            _count_wrong(request.META.get("REMOTE_ADDR", ""))
            raise AuthenticationFailed(_("This token is not known, has ended or was revoked."))
        return actor.user, actor

    def authenticate_header(self, request: Request) -> str:
        return 'Bearer realm="api"'


def _actor(secret: bytes) -> Actor | None:
    if not secret.isascii() or len(secret) > _LONGEST_SECRET:
        return None
    return actor_by_token(secret.decode("ascii"))


def _count_wrong(address: str) -> None:
    """Count a wrong token; raises Throttled where there were too many from this address.

    Each process of the server counts by itself: close enough for what it is for.
    """
    key = f"wrong-token:{address}"
    cache.add(key, 0, _WHILE_SECONDS)
    try:
        wrong = cache.incr(key)
    except ValueError:  # the minute ended in between
        return
    if wrong > MOST_WRONG:
        raise Throttled(_WHILE_SECONDS)
