"""Tokens by which other programs act at a plant."""

from dataclasses import dataclass

from dashboards.screens.fields import FormView


@dataclass(frozen=True, kw_only=True)
class TokenRow:
    """One token; `can_revoke` is false where it is over already."""

    token_id: str
    label: str
    prefix: str
    acts_for: str
    allows: str
    made_text: str
    ends_text: str
    used_text: str
    over_text: str = ""
    can_revoke: bool = True


@dataclass(frozen=True, kw_only=True)
class TokensScreen:
    """The plant's tokens, and the form that makes one; `secret` is shown once, when just made."""

    plant_id: str
    plant_name: str
    rows: tuple[TokenRow, ...]
    form: FormView
    secret: str = ""
    secret_label: str = ""
