"""From the form of a new program version to the record, or to what it would have judged."""

from datetime import timedelta

from dashboards.forms.bench import instant_of
from dashboards.forms.program import ProgramForm
from dashboards.forms.program_lines import form_begun
from dashboards.forms.program_press import Desk, first_form
from dashboards.forms.program_read import ReadForm, form_read
from records import clock
from records.actors import Actor
from records.errors import RecordError
from records.models import Program
from records.selectors.preview import Preview, preview
from records.selectors.programs import (
    limits_of,
    newest_version,
    points_at,
    points_of_program,
    refuse_back_dating,
)
from records.selectors.rounds import boilers_of
from records.services.programs import version_put_in_force

# How far back is looked: rule of our own.
LOOK_BACK = timedelta(days=90)


class NewVersion:
    """A program whose next version is being written, and the version that it follows."""

    def __init__(self, actor: Actor, program: Program) -> None:
        self._actor, self.program = actor, program
        self.follows = newest_version(program)
        self.held = limits_of(self.follows) if self.follows else ()
        self.desk = Desk(
            plant=actor.plant,
            points={str(point.pk): point for point in points_of_program(program)},
            watched={str(point.pk): point for point in points_at(actor.plant)},
            boilers=[program.boiler] if program.boiler else boilers_of(actor.plant),
        )

    def begun(self) -> ProgramForm:
        """Return the form as it is opened."""
        return form_begun(self.follows) if self.follows else first_form(self.desk)

    def look(self, form: ProgramForm) -> tuple[dict[str, str], Preview | None]:
        """Return what is wrong, or what the form's limits would have judged."""
        read = self._read(form)
        since = clock.now() - LOOK_BACK
        return read.errors, None if read.errors else preview(self.program, read.rows, since=since)

    def put(self, form: ProgramForm) -> dict[str, str]:
        """Write the version; returns what is wrong where it could not be written."""
        read = self._read(form)
        try:
            begin = form.head.get("in_force_from", "")
            since = instant_of(self._actor.plant, begin, field="in_force_from")
            if read.errors:  # a date that can't be is told with the rest
                refuse_back_dating(self.program, since)
                return read.errors
            version_put_in_force(
                actor=self._actor,
                program=self.program,
                in_force_from=since,
                limits=read.limits,
                schedule=read.schedule,
                events=read.events,
                note=form.head.get("note", ""),
                key=form.head.get("key", ""),
            )
        except RecordError as error:
            return {**read.errors, error.field: str(error)}
        return {}

    def _read(self, form: ProgramForm) -> ReadForm:
        return form_read(form, self.desk.points, self.desk.watched, self.held)
