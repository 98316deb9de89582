"""Who is at the screen: a person with a password, or a tester at an enrolled terminal.

At a shared terminal everybody is sent away when nothing happened for a while, by the server's own
clock, whatever the browser does.
"""

from collections.abc import Callable
from datetime import timedelta

from django.conf import settings
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse

from records import access, clock
from records.models import Terminal, User

COOKIE = "waterside_terminal"
_TESTER, _AT, _SEEN = "bench_tester", "bench_terminal", "bench_seen"
# The browser warns and locks first; the server follows a little later.
_GRACE = timedelta(seconds=15)
# How exactly it is kept when somebody was last there, well within the grace: rule of our own.
_KEPT_EVERY = timedelta(seconds=5)


class Presence:
    """The terminal and the person of one request."""

    def __init__(self, request: HttpRequest) -> None:
        self._request = request
        self.terminal: Terminal | None = access.terminal_of(request.COOKIES.get(COOKIE, ""))
        if self.terminal is not None and self._left_alone():
            self.leave()
        self.person: User | None = self._person()
        if self.terminal is not None and self.person is not None and self._seen_a_while_ago():
            request.session[_SEEN] = clock.now().isoformat()

    def _left_alone(self) -> bool:
        seen = self._request.session.get(_SEEN)
        limit = timedelta(seconds=settings.TERMINAL_IDLE_SECONDS) + _GRACE
        return seen is not None and clock.elapsed(seen) > limit

    def _seen_a_while_ago(self) -> bool:
        """Say whether the time is to be kept again: not at each key, since each would commit."""
        seen = self._request.session.get(_SEEN)
        return seen is None or clock.elapsed(seen) > _KEPT_EVERY

    def _person(self) -> User | None:
        # A PIN holds at the terminal where it was entered, not at any other one.
        if self.terminal is not None and self._request.session.get(_AT) == str(self.terminal.pk):
            tester = access.active_user(self._request.session.get(_TESTER, ""))
            if tester is not None:
                return tester
        user = self._request.user
        return user if isinstance(user, User) and user.is_active else None

    def arrive(self, user: User) -> None:
        """Begin at the terminal in a person's name, under a new session."""
        self._request.session.flush()
        self._request.session[_TESTER] = str(user.pk)
        self._request.session[_AT] = str(self.terminal.pk) if self.terminal else ""
        self._request.session[_SEEN] = clock.now().isoformat()
        self.person = user

    def leave(self) -> None:
        """Lock: nobody is at the screen now."""
        logout(self._request)
        self.person = None


class TerminalMiddleware:
    """Put `request.presence` on every request."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self._get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        request.presence = Presence(request)  # type: ignore[attr-defined]
        response = self._get_response(request)
        if request.presence.person is not None:  # type: ignore[attr-defined]
            # What one person saw must not come back from a browser's store for the next one.
            response.headers.setdefault("Cache-Control", "no-store, private")
        return response
