"""Checking a password: the one way, so that wrong tries are counted wherever they are made."""

from django.contrib.auth import authenticate
from django.http import HttpRequest
from django.utils.translation import gettext_noop

from records.errors import RecordError, storable
from records.models import User

WRONG_PAIR = gettext_noop("This user name and password do not belong together.")
WRONG_PASSWORD = gettext_noop("This is not your password.")
LOCKED = gettext_noop("Too many wrong passwords. Wait a quarter of an hour, then try again.")


def user_of(request: HttpRequest, username: str, password: str) -> User:
    """Return whose name and password these are; raises RecordError, also while that is locked."""
    user = (
        authenticate(request, username=username, password=password) if _usable(username) else None
    )
    if getattr(request, "axes_locked_out", False):
        raise RecordError("password_locked", LOCKED, field="password")
    if not isinstance(user, User):
        raise RecordError("wrong_pair", WRONG_PAIR)
    return user


def password_proved(request: HttpRequest, user: User, password: str) -> None:
    """Raise RecordError unless it is the person's password."""
    try:
        user_of(request, user.username, password)
    except RecordError as error:
        if error.code == "password_locked":
            raise
        raise RecordError("wrong_password", WRONG_PASSWORD, field="password") from error


def _usable(username: str) -> bool:
    """What no database can hold is nobody's name."""
    return storable(username) and len(username) <= 60
