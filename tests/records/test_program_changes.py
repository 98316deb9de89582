"""What changed from one version of a program to the next."""

from dataclasses import replace

from records.models import ProgramVersion
from records.selectors.program_changes import How, changes_of
from tests.records import story
from tests.records.programs import limit, line, put

ADDED, TAKEN_OUT, CHANGED = How.ADDED, How.TAKEN_OUT, How.CHANGED


def told(changes):
    return [(each.how, each.fields) for each in changes]


def test_added_taken_out_and_changed_are_told_apart(works):
    put(
        works,
        limit(works, high="1250", target="1100"),
        limit(works, state="wet_layup"),
        schedule=[line(works, method="ph")],
    )
    found = changes_of(ProgramVersion.objects.get(number=2))
    assert found.earlier.number == 1
    assert told(found.limits) == [(CHANGED, ("high",)), (ADDED, ())]
    assert told(found.schedule) == [(TAKEN_OUT, ()), (ADDED, ())]


def test_a_rule_written_in_another_way_is_no_change(works):
    same = "FREQ=DAILY;BYMINUTE=0;BYHOUR=22,2,6,10,14,18"
    put(works, limit(works, high="1300", target="1100"), schedule=[line(works, same)])
    found = changes_of(ProgramVersion.objects.get(number=2))
    assert (list(found.limits), list(found.schedule)) == ([], [])


def test_the_first_version_has_none_before_it(works):
    assert changes_of(ProgramVersion.objects.get(number=1)).earlier is None


def test_draws_after_events_are_compared_by_what_happens_where(works):
    dose, above = story.after(works, "dose"), story.hardness_above(works)
    above = replace(above, point=works.point)
    story.events(works, dose, above)
    with story.later(1):
        story.events(works, replace(dose, state="steaming"), replace(above, trigger_value="40"))
    found = changes_of(ProgramVersion.objects.get(number=3))
    assert told(found.events) == [(TAKEN_OUT, ()), (CHANGED, ("trigger",)), (ADDED, ())]


def test_of_two_draws_after_one_event_just_the_one_taken_out_is_told(works):
    dose = story.after(works, "dose")
    story.events(works, dose, replace(dose, minutes_after=60))
    with story.later(1):
        story.events(works, replace(dose, minutes_after=60))
    (found,) = changes_of(ProgramVersion.objects.get(number=3)).events
    assert (found.how, found.before.minutes_after) == (TAKEN_OUT, 30)
