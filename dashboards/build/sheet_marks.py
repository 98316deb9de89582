"""Who put a name to a log sheet: signatures, who was alone, and amendments."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from dashboards import words
from dashboards.build.checks import outcome_words, stored_outcome
from dashboards.build.sheet_forms import Refused, decision_form
from dashboards.screens.sheets import AmendmentView, SignatureView
from records.actors import Actor, Proof
from records.models import Amendment, Meaning, Measurement, Plant, Role, Signature
from records.permissions import Deed
from records.selectors.sheet_pages import alone_words
from records.selectors.sheets import digest_of, rows_of_amendment
from records.services import sheets as service

SHORT = 12


def signature_views(plant: Plant, marks: Sequence[Signature]) -> tuple[SignatureView, ...]:
    """Return the marks on a sheet; a signature over the sheet of who was alone says so."""
    views, alone = [], ""
    for mark in marks:
        note = ""
        if mark.meaning == Meaning.HANDED_IN:
            said = alone_words(mark)
            alone = mark.by_name if said is not None else ""
            note = _("was alone on this shift") if alone else ""
        elif mark.meaning == Meaning.SIGNED and alone:
            note = _("countersigned for %(name)s, who was alone") % {"name": alone}
        views.append(signature_view(plant, mark, note))
    return tuple(views)


def signature_view(plant: Plant, mark: Signature, note: str = "") -> SignatureView:
    """Return one mark: whose, in which roles, how proved and where, over which digest."""
    roles = [str(Role(role).label) for role in mark.roles.split(", ") if role in Role.values]
    words_alone = alone_words(mark)
    return SignatureView(
        name=mark.by_name,
        role_word=", ".join(roles),
        meaning=str(Meaning(mark.meaning).label),
        at_text=words.moment(plant, mark.at),
        digest_short=mark.digest[:SHORT],
        comment=mark.comment if words_alone is None else words_alone,
        proof_text=_proof(mark),
        note=note,
    )


def _proof(mark: Signature) -> str:
    at = {"name": mark.terminal_name}
    if mark.proof == Proof.PIN:
        return _("by PIN at %(name)s") % at
    if mark.proof != Proof.PASSWORD:
        return ""
    if mark.terminal_name:
        return _("by password at %(name)s") % at
    return _("by password, away from the plant's terminals")


def amendment_text(plant: Plant, amendment: Amendment) -> str:
    """Return what an amendment changes: where, from what to what."""
    new, old = amendment.measurement, amendment.measurement.corrects
    place = words.place(new.sample.sample_point)[0]
    drawn = words.time_of(plant, new.sample.drawn_at)
    found = [_found(plant, each) for each in (old, new) if each is not None]
    told = _("%(place)s, drawn %(drawn)s: %(change)s")
    return told % {"place": place, "drawn": drawn, "change": " → ".join(filter(None, found))}


def _found(plant: Plant, measurement: Measurement) -> str:
    """Return what a measurement found: its first figure, or what its check showed."""
    result = next(iter(measurement.results.all()), None)
    if result is None:
        return "; ".join(outcome_words(stored_outcome(c)) for c in measurement.outcomes.all())
    unit = words.plant_unit(plant, result.unit)
    return f"{words.in_unit(result.value, result.unit, unit)} {words.unit_label(unit)}"


def amendment_view(actor: Actor, amendment: Amendment, refused: Refused) -> AmendmentView:
    """Return an amendment with the form that decides on it, where that is open to this person."""
    plant = actor.plant
    marks = list(amendment.signatures.all())
    blocked = _blocked(actor, amendment) if not marks and actor.may(Deed.SIGN) else ""
    decide = None
    if not marks and actor.may(Deed.SIGN) and not blocked:
        decide = decision_form(refused.of(f"amendment-{amendment.pk}"))
    turned_down = bool(marks) and marks[0].meaning == Meaning.AMENDMENT_REFUSED
    by = marks[0].by_name if marks else ""
    return AmendmentView(
        amendment_id=str(amendment.pk),
        text=amendment_text(plant, amendment),
        reason=amendment.measurement.reason,
        by=amendment.by_name,
        at_text=words.moment(plant, amendment.at),
        digest=digest_of(rows_of_amendment(amendment)) if decide else "",
        signed_by=_("%(name)s (refused)") % {"name": by} if turned_down else by,
        signed_at_text=words.moment(plant, marks[0].at) if marks else "",
        comment=marks[0].comment if marks else "",
        form=decide,
        blocked=blocked,
    )


def _blocked(actor: Actor, amendment: Amendment) -> str:
    old = amendment.measurement.corrects
    if amendment.by_id == actor.user_id:
        return _(service.OWN_AMENDMENT)
    if old is not None and old.by_id == actor.user_id:
        return _(service.OWN_AMENDED_TEST)
    return ""
