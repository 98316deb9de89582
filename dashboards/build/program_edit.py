"""The form of a new program version, from what was typed and what is wrong with it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from chemistry import units
from chemistry.analytes import ANALYTES
from chemistry.limit_sets import KINDS
from dashboards import words
from dashboards.build.forms import choice_field, text_field
from dashboards.build.program_sets import proposals_of, span_text
from dashboards.build.program_words import place_words
from dashboards.build.results import analyte_name, basis_words
from dashboards.forms.program import LIMIT_FIELDS, Line, ProgramForm, whats
from dashboards.forms.program_lines import line_of_limit
from dashboards.screens.fields import FieldView
from dashboards.screens.program_edit import LimitEdit, LimitGroup
from records.models import Limit, Plant, SamplePoint, State
from records.selectors.program_entry import MUST_CONFIRM

OWN_DECISION = gettext_noop("decided for this plant")
CONFIDENCE = (*KINDS, OWN_DECISION)
_KEPT = ("point", "state", "what", "of", "beside")
_SHOWN = (
    "low", "high", "target", "guard_band", "unit", "source", "confidence", "note", "what",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Edited:
    """What the form's builders need: the form, what is wrong with it, and what it changes."""

    plant: Plant
    form: ProgramForm
    points: Mapping[str, SamplePoint]
    watched: Mapping[str, SamplePoint] = field(default_factory=dict)
    held: Sequence[Limit] = ()
    errors: Mapping[str, str] = field(default_factory=dict)

    def held_line(self, line: Line) -> Line | None:
        """Return a limit of the form as it stands in the version that this one follows."""
        analyte = line.get("what", "").partition("~")[0]
        for row in self.held:
            same = str(row.sample_point_id) == line.get("point") and row.state == line.get("state")
            if same and row.analyte == analyte:
                return line_of_limit(row)
        return None


def limit_groups(edited: Edited) -> tuple[LimitGroup, ...]:
    """Return the limits of the form by sample point and state, in bench order."""
    places: dict[tuple[str, str], list[LimitEdit]] = {}
    for number, line in edited.form.limits.items():
        point = edited.points.get(line.get("point", ""))
        if point is None or line.get("what", "").partition("~")[0] not in ANALYTES:
            continue
        place = (str(point.pk), line.get("state", ""))
        places.setdefault(place, []).append(limit_edit(edited, number, line))
    order = {key: n for n, key in enumerate(edited.points)}
    states = {state: n for n, state in enumerate(State.values)}
    steaming = State.STEAMING.value

    def rank(place: tuple[str, str]) -> tuple[int, bool, int]:
        return order[place[0]], place[1] != steaming, states.get(place[1], len(states))

    return tuple(
        LimitGroup(
            key=f"limits-{number}",
            title=place_words(edited.points[place[0]], _state(place[1])),
            limits=tuple(places[place]),
            open=place[1] == steaming or any(map(_stirred, places[place])),
        )
        for number, place in enumerate(sorted(places, key=rank))
    )


def _stirred(limit: LimitEdit) -> bool:
    """Say whether a limit differs from what is in force, or something is wrong with it."""
    wrong = limit.error or any(each.error for each in (*limit.ends, limit.unit, *limit.more))
    return bool(limit.out or limit.tag or limit.proposals or wrong)


def _state(text: str) -> str:
    return text if text in State.values else ""


def limit_edit(edited: Edited, number: int, line: Line) -> LimitEdit:
    """Return one limit of the form with its fields."""
    name = f"l{number}"
    analyte, _sign, basis = line["what"].partition("~")
    out = bool(line.get("out"))
    kept = LIMIT_FIELDS if out else _KEPT
    errors = {
        key: edited.errors.get(f"{name}.{key}", "") for key in (*LIMIT_FIELDS, "what") if not out
    }
    held = edited.held_line(line)
    more = _more(name, line, errors)
    return LimitEdit(
        name=name,
        analyte=analyte_name(analyte),
        basis_words=basis_words(basis) if (analyte, basis) in whats() else (),
        hidden=tuple((f"{name}.{key}", line[key]) for key in kept if line.get(key)),
        out=out,
        ends=_ends(name, line, errors),
        unit=_unit(edited.plant, name, analyte, line, errors),
        more=more,
        about=" · ".join(filter(None, (line.get("source", ""), line.get("confidence", "")))),
        tag=_tag(line, held),
        error=errors.get("what", ""),
        span_text=span_text(line),
        confirm=_confirm(name, line, held, errors),
        proposals=proposals_of(name, line),
        open=any(each.error for each in more) or not line.get("source"),
    )


def _ends(name: str, line: Line, errors: Mapping[str, str]) -> tuple[FieldView, ...]:
    labels = {"low": _("At least"), "high": _("At most"), "target": _("Target")}
    return tuple(
        text_field(
            f"{name}.{key}",
            label,
            {},
            kind="number",
            value=line.get(key, ""),
            error=errors.get(key, ""),
        )
        for key, label in labels.items()
    )


def _unit(
    plant: Plant, name: str, analyte: str, line: Line, errors: Mapping[str, str]
) -> FieldView:
    """Return the field of the unit: the plant's, the analyte's usual one, or the one typed."""
    usual = ANALYTES[analyte].unit
    offered = dict.fromkeys((words.plant_unit(plant, usual), usual, line.get("unit", "")))
    choices = [(unit, units.label(unit)) for unit in offered if unit]
    typed = {f"{name}.unit": line.get("unit") or words.plant_unit(plant, usual)}
    return choice_field(f"{name}.unit", _("Unit"), choices, typed, error=errors.get("unit", ""))


def _more(name: str, line: Line, errors: Mapping[str, str]) -> tuple[FieldView, ...]:
    known = list(CONFIDENCE)
    if line.get("confidence") and line["confidence"] not in known:
        known.append(line["confidence"])
    sure = {f"{name}.confidence": line.get("confidence", OWN_DECISION)}

    def text(key: str, label: str, told: str, **more: object) -> FieldView:
        value, error = line.get(key, ""), errors.get(key, "")
        return text_field(f"{name}.{key}", label, {}, value=value, help=told, error=error, **more)  # type: ignore[arg-type]

    where = _("The document, year and table, or who decided it for this plant.")
    inward = _("Moves each end inward by this much. Empty: a result on the limit is in range.")
    return (
        text("source", _("Source of this limit"), where, required=True),
        choice_field(
            f"{name}.confidence",
            _("How sure it is"),
            [(each, _(each)) for each in known],
            sure,
            required=True,
            error=errors.get("confidence", ""),
        ),
        text("guard_band", _("Guard band"), inward, kind="number"),
        text("note", _("Note"), _("Needed where neither end is set: why none is known.")),
    )


def _confirm(
    name: str, line: Line, held: Line | None, errors: Mapping[str, str]
) -> FieldView | None:
    """Return the tick by which a chemist confirms what was not read in a document."""
    taken_over = held is not None and not _changed(line, held)
    if line.get("confidence") not in MUST_CONFIRM or taken_over:
        return None
    return choice_field(
        f"{name}.confirmed",
        _("I have confirmed this limit"),
        [("on", "")],
        {f"{name}.confirmed": line.get("confirmed", "")},
        kind="checkbox",
        help=_("This figure was not read in a document: %(kind)s.") % {"kind": line["confidence"]},
        error=errors.get("confirmed", ""),
    )


def _changed(line: Line, held: Line) -> bool:
    return any(line.get(key, "") != held.get(key, "") for key in _SHOWN)


def _tag(line: Line, held: Line | None) -> str:
    if held is None:
        return _("new")
    return _("changed") if _changed(line, held) else ""
