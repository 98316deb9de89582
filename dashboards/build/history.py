"""The history of one number: each version of it step by step, and who signed over it."""

from collections.abc import Mapping

from django.utils import formats
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import methods
from chemistry.methods.base import Field, Method
from dashboards import words
from dashboards.build.checks import stored_outcome
from dashboards.build.history_numbers import number_step
from dashboards.build.instruments import STANDING_WORDS
from dashboards.build.look_back import decide_form, decision_words
from dashboards.build.sheet_marks import signature_view, signature_views
from dashboards.build.sheets import STATUS_WORDS, printed_text
from dashboards.screens.history import (
    HistoryScreen,
    MeansStep,
    ReadStep,
    SealStep,
    VersionView,
)
from records.actors import Actor
from records.models import Meaning, Measurement, Plant, Reading, Sample
from records.permissions import Deed
from records.selectors.doubts import VOID, DoubtHistory, doubt_history, failed_words
from records.selectors.history import Seal, seals_of, versions_of
from records.selectors.instruments import Standing
from records.selectors.sheet_pages import signatures_of
from records.selectors.sheets import counts, current_measurements, stand_of

ROW_WORDS = {
    "sample": gettext_noop("Sample"),
    "measurement": gettext_noop("Measurement"),
    "reading": gettext_noop("Reading"),
    "instrumentuse": gettext_noop("Instrument used"),
    "result": gettext_noop("Result"),
    "checkoutcome": gettext_noop("What the check showed"),
    "verdict": gettext_noop("Verdict"),
    "doubt": gettext_noop("Doubt"),
}


def history_screen(
    actor: Actor,
    measurement: Measurement,
    posted: Mapping[str, str] | None = None,
    errors: Mapping[str, str] | None = None,
) -> HistoryScreen:
    """Return the history of a measurement, with a form where a chemist may end a doubt of its
    entry."""
    plant, sample = actor.plant, measurement.sample
    versions, sheet = versions_of(measurement), measurement.sheet
    current = {each.pk for each in current_measurements(versions)}
    status = stand_of(sheet).status
    told = doubt_history(versions)
    deciding = next((key for key in current if actor.may(Deed.DISPOSE) and _waits(told[key])), None)
    boiler_name, point_name = words.place(sample.sample_point)
    return HistoryScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        sample_id=str(sample.pk),
        sheet_id=str(sheet.pk),
        boiler_name=boiler_name,
        point_name=point_name,
        test_name=_(methods.get(measurement.method, measurement.method_version).name),
        drawn=_drawn(plant, sample),
        versions=tuple(
            _version(plant, each, number, told[each.pk], counting=each.pk in current)
            for number, each in enumerate(versions)
        ),
        sheet_text=_("%(name)s shift, %(day)s")
        % {"name": sheet.shift_name, "day": words.day(sheet.shift_date)},
        sheet_status=status.value.replace("_since_hand_in", ""),
        sheet_status_word=_(STATUS_WORDS[status]),
        signatures=signature_views(plant, signatures_of(sheet)),
        printed_text=printed_text(actor),
        look_backs=tuple(
            {
                str(back.pk): failed_words(back) for key in current for back in told[key].look_backs
            }.items()
        ),
        decide_id=str(deciding) if deciding else "",
        decide_form=decide_form(posted or {}, errors or {}) if deciding else None,
    )


def _drawn(plant: Plant, sample: Sample) -> tuple[tuple[str, str], ...]:
    entered = words.moment(plant, sample.entered_at)
    facts = [
        (_("Drawn"), f"{words.moment(plant, sample.drawn_at)} ({sample.utc_offset})"),
        (_("By"), sample.by_name),
        (_("Point, as it was called then"), sample.point_name),
        (_("The boiler was"), words.state_word(sample.boiler_state)),
        (_("Bench sheet opened"), words.moment(plant, sample.opened_at)),
        (_("Entered"), _("%(at)s, late") % {"at": entered} if sample.late else entered),
        (_("At the terminal"), sample.terminal_name),
        (_("Remark"), sample.note),
    ]
    return tuple((label, text) for label, text in facts if text)


def _version(
    plant: Plant, row: Measurement, number: int, told: DoubtHistory, *, counting: bool
) -> VersionView:
    method = methods.get(row.method, row.method_version)
    amendment = next(iter(row.amendments.all()), None)
    mark = next(iter(amendment.signatures.all()), None) if amendment else None
    said = {"name": _(method.name), "version": method.version, "mode": _mode(method, row)}
    return VersionView(
        key=str(row.pk),
        title=_title(number, amends=amendment is not None),
        standing=_standing(row, counting),
        counts=counting,
        by=row.by_name,
        at_text=words.moment(plant, row.entered_at),
        method_text=_("%(name)s, version %(version)s: %(mode)s") % said,
        source=method.source,
        reason=row.reason,
        confirmed=tuple(_confirmed(token) for token in row.confirmed.split()),
        readings=_readings(method, row),
        means=_means(method, row),
        numbers=tuple(number_step(plant, row, result) for result in row.results.all()),
        outcomes=tuple(stored_outcome(check) for check in row.outcomes.all()),
        doubts=(
            *(doubt.detail or doubt.cause for doubt in row.doubts.all()),
            *(failed_words(back) for back in told.look_backs),
        ),
        decisions=tuple(decision_words(plant, each) for each in told.decisions),
        amendment=signature_view(plant, mark) if mark else None,
        seals=tuple(_seal(plant, seal) for seal in seals_of(plant, row)),
    )


def _waits(told: DoubtHistory) -> bool:
    """Say whether a doubt of its entry is still open: one of a failed check is decided about where
    that stands."""
    return any(each.look_back is None and each.cause != VOID for each in told.open_now)


def _title(number: int, *, amends: bool) -> str:
    if not number:
        return _("As first entered")
    return (_("Amendment %(n)s") if amends else _("Correction %(n)s")) % {"n": number}


def _standing(row: Measurement, counting: bool) -> str:
    if counting:
        return _("This one counts")
    marks = [mark for amendment in row.amendments.all() for mark in amendment.signatures.all()]
    if counts(row):
        return _("Replaced")
    refused = any(mark.meaning == Meaning.AMENDMENT_REFUSED for mark in marks)
    return _("Refused: it never counted") if refused else _("Waits for a second person")


def _mode(method: Method, row: Measurement) -> str:
    return _(method.mode(row.mode).label)


def _confirmed(token: str) -> str:
    """Return a doubt that the tester confirmed on entry; the value is the one it was about."""
    about, _colon, rest = token.partition(":")
    code, _colon, value = rest.partition(":")
    told = {"what": about.replace("_", " "), "code": code.replace("_", " "), "value": value}
    return _("%(value)s (%(what)s: %(code)s)") % told


def _readings(method: Method, row: Measurement) -> tuple[ReadStep, ...]:
    """Return the readings in the order in which the bench sheet asks for them."""
    fields = {field.key: field for field in method.mode(row.mode).fields}
    order = {key: number for number, key in enumerate(fields)}
    stored = sorted(row.readings.all(), key=lambda r: (order.get(r.field, len(order)), r.position))
    return tuple(_read(fields.get(reading.field), reading) for reading in stored)


def _read(field: Field | None, reading: Reading) -> ReadStep:
    choices = dict(field.choices) if field else {}
    chosen = choices.get(reading.normalized, "")
    return ReadStep(
        label=_(field.label) if field else reading.field,
        typed=reading.typed,
        normalized=_(chosen) if chosen else reading.normalized,
        unit=words.unit_label(reading.unit) if reading.unit else "",
    )


def _means(method: Method, row: Measurement) -> tuple[MeansStep, ...]:
    roles = {role.key: _(role.label) for role in method.means}
    return tuple(
        MeansStep(
            role=roles.get(use.role, use.role),
            label=use.label,
            standing=_(STANDING_WORDS[Standing(use.standing)]),
            reason=use.reason,
            in_order=use.standing == Standing.IN_ORDER,
        )
        for use in row.uses.all()
    )


def _seal(plant: Plant, seal: Seal) -> SealStep:
    link = seal.link
    told = {"n": formats.number_format(link.sequence, use_l10n=True)} if link else {}
    at = words.moment(plant, link.at) if link else ""
    return SealStep(
        row_word=_(ROW_WORDS[seal.table]),
        digest=seal.digest,
        entry_text=_("entry %(n)s, %(at)s") % {**told, "at": at} if link else "",
        holds=seal.holds,
    )
