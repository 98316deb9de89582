"""Signing in, the first start, and the handbook."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView


@dataclass(frozen=True, kw_only=True)
class LoginScreen:
    """Name and password; `next` is where to go afterwards."""

    form: FormView
    next: str = ""
    can_use_terminal: bool = False


@dataclass(frozen=True, kw_only=True)
class SetupScreen:
    """The first start: a one-time code and the first administrator."""

    form: FormView


@dataclass(frozen=True, kw_only=True)
class HelpLink:
    """One page of the handbook."""

    slug: str
    title: str
    current: bool = False


@dataclass(frozen=True, kw_only=True)
class HelpScreen:
    """One page of the handbook; `body` is HTML made from our own Markdown, printed as it is."""

    title: str
    body: str
    pages: tuple[HelpLink, ...] = ()
