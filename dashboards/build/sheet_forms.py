"""The forms of a log sheet: hand in, sign, return; and the decision on an amendment."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from django.utils.translation import gettext as _

from dashboards.build.forms import choice_field, form, password_field, pin_field, text_field
from dashboards.screens.fields import Choice, FieldView, FormView
from records.actors import Actor
from records.models import LogSheet
from records.permissions import Deed
from records.selectors.sheets import SheetStand, SheetStatus
from records.services import sheets as service


@dataclass(frozen=True, kw_only=True)
class Refused:
    """A form of the sheet that was refused: which, what was wrong by field, and what was typed."""

    form: str = ""
    errors: Mapping[str, str] = field(default_factory=dict)
    sent: Mapping[str, str] = field(default_factory=dict)

    def of(self, form: str) -> "Refused":
        """Return itself for its own form, and nothing for every other one."""
        return self if form == self.form else Refused()

    @property
    def as_a_whole(self) -> tuple[str, ...]:
        return (self.errors[""],) if "" in self.errors else ()


def decision_form(said: Refused) -> FormView:
    """Return the form by which a second person signs an amendment or refuses it."""
    return form(
        choice_field(
            "decision",
            _("Decision"),
            [("accept", _("Sign it: the new result counts")), ("refuse", _("Refuse it"))],
            said.sent,
            kind="radio",
            value="accept",
            required=True,
        ),
        text_field("comment", _("Comment"), said.sent, error=said.errors.get("comment", "")),
        password_field(said.errors.get("password", "")),
        errors=said.as_a_whole,
    )


class SheetForms:
    """The forms of a sheet that are open to a person, by status, role and whose tests they are."""

    def __init__(
        self,
        actor: Actor,
        sheet: LogSheet,
        stand: SheetStand,
        refused: Refused,
    ) -> None:
        self._actor, self._stand, self._refused = actor, stand, refused
        self._own = service.own_part(actor, sheet)

    def hand_in(self) -> FormView | None:
        open_ = (SheetStatus.DRAFT, SheetStatus.CHANGED, SheetStatus.RETURNED)
        if self._stand.status not in open_ or not self._actor.may(Deed.HAND_IN):
            return None
        said = self._refused.of("hand_in")
        ask = pin_field if self._actor.terminal else password_field
        asked = ask(said.errors.get("pin", said.errors.get("password", "")))
        return form(self._alone(said), self._remark(said), asked, errors=said.as_a_whole)

    def _alone(self, said: Refused) -> FieldView:
        return FieldView(
            name="alone",
            id="f-alone",
            label=_("I was alone on this shift"),
            kind="checkbox",
            help=_("A supervisor then countersigns from wherever they are."),
            choices=(Choice(value="on", label="", selected=said.sent.get("alone") == "on"),),
            error=said.errors.get("alone", ""),
        )

    def _remark(self, said: Refused) -> FieldView:
        return text_field(
            "comment",
            _("Remark for who signs"),
            said.sent,
            kind="textarea",
            error=said.errors.get("comment", ""),
        )

    def cannot_sign(self) -> str:
        if self._stand.status is not SheetStatus.HANDED_IN or not self._actor.may(Deed.SIGN):
            return ""
        if self._own is not None:
            return str(self._own)
        last = self._stand.last
        if last is not None and last.by_id == self._actor.user_id:
            return _(service.OWN_HAND_IN)
        return ""

    def _may_sign(self) -> bool:
        handed_in = self._stand.status is SheetStatus.HANDED_IN
        return handed_in and self._actor.may(Deed.SIGN) and not self.cannot_sign()

    def sign(self) -> FormView | None:
        if not self._may_sign():
            return None
        said = self._refused.of("sign")
        return form(password_field(said.errors.get("password", "")), errors=said.as_a_whole)

    def send_back(self) -> FormView | None:
        if self._stand.status is not SheetStatus.HANDED_IN or not self._actor.may(Deed.SIGN):
            return None
        said = self._refused.of("return")
        comment = text_field(
            "comment",
            _("What has to be put right"),
            said.sent,
            kind="textarea",
            required=True,
            error=said.errors.get("comment", ""),
        )
        return form(comment, errors=said.as_a_whole)
