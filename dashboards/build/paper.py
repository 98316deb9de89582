"""Paper forms for a power cut, made from the method files and the schedules in force."""

from django.utils.translation import gettext as _

from chemistry import methods
from chemistry.methods.base import Field, Method
from chemistry.methods.drawing import in_bench_order
from dashboards import words
from dashboards.build.results import analyte_name, limit_words
from dashboards.build.round import to_draw
from dashboards.build.sheets import printed_text
from dashboards.forms.bench import entry_of, with_defaults
from dashboards.screens.paper import PaperField, PaperForm, PaperScreen, PaperTest
from records.actors import Actor
from records.models import Plant
from records.selectors.instruments import Shelf, shelf_of
from records.selectors.paper import PointTests, scheduled_tests

DRAWING = "drawing"


def paper_screen(actor: Actor, picked: str = "") -> PaperScreen:
    """Return the blank bench sheet of each point where anything is scheduled, or of one point."""
    plant, shelf = actor.plant, shelf_of(actor.plant)
    every = scheduled_tests(plant)
    wanted = [each for each in every if str(each.point.pk) == picked] or every
    return PaperScreen(
        plant_id=str(plant.pk),
        plant_name=plant.name,
        organization_name=plant.organization.name,
        forms=tuple(_form(plant, each, shelf) for each in wanted),
        one_picked=len(wanted) < len(every),
        cautions=_cautions(methods.latest(DRAWING)),
        whom_to_call=plant.whom_to_call,
        printed_text=printed_text(actor),
    )


def _form(plant: Plant, asked: PointTests, shelf: Shelf) -> PaperForm:
    used = [methods.latest(key) for key in in_bench_order(asked.methods)]
    typed = with_defaults(asked.point, used, {}, shelf)
    said = {"n": asked.version.number, "at": words.moment(plant, asked.version.in_force_from)}
    return PaperForm(
        point_id=str(asked.point.pk),
        title=", ".join(dict.fromkeys(words.place(asked.point))),
        state_word=words.state_word(asked.state),
        version_text=_("program version %(n)s, in force from %(at)s") % said,
        draw_text=to_draw(used),
        tests=tuple(_test(plant, asked, method, typed) for method in used),
    )


def _test(plant: Plant, asked: PointTests, method: Method, typed: dict[str, str]) -> PaperTest:
    entry = entry_of(method, typed)
    usual = method.mode(entry.mode)
    return PaperTest(
        name=_(method.name),
        other_ways=tuple(_(mode.label) for mode in method.modes if mode.key != usual.key),
        usual_way=_(usual.label),
        fields=tuple(_field(field, entry.units.get(field.key, "")) for field in usual.fields),
        means=tuple(_(role.label) for role in method.means),
        # What is said above the whole form is not said again beside each test.
        cautions=tuple(
            text for text in _cautions(method) if text not in _cautions(methods.latest(DRAWING))
        ),
        limits=tuple(
            f"{analyte_name(row.analyte)}: {said}"
            for row in asked.limits
            if row.analyte in method.analytes and (said := limit_words(row, plant))
        ),
    )


def _field(field: Field, unit: str) -> PaperField:
    offered = [unit or field.unit, *(each for each in field.units if each != unit)]
    return PaperField(
        label=_(field.label),
        units=tuple(words.unit_label(each) for each in offered if each),
        choices=tuple(_(label) for _key, label in field.choices),
        required=field.required and not field.default,
    )


def _cautions(method: Method) -> tuple[str, ...]:
    return tuple(_(step.text) for step in method.steps if step.caution)
