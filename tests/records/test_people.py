"""People, roles, PINs and terminals: who gets in, and who may let others in."""

from datetime import timedelta

import pytest
from django.http import Http404

from records import clock
from records.access import (
    active_user,
    actor_at,
    members_at,
    people_at,
    plants_of,
    row_for,
    terminal_of,
)
from records.errors import NotAllowed, RecordError
from records.models import AuditEvent, Membership, Pin, PinLock, Role, Sample, User
from records.permissions import ALLOWED, Deed, may
from records.services.people import (
    NewPerson,
    first_administrator,
    people_add,
    pin_check,
    pin_set,
    pin_unlock,
    roles_end,
    roles_give,
    terminal_enroll,
    terminal_revoke,
)
from tests import factories
from tests.records import story


@pytest.fixture
def bench(works):
    return terminal_enroll(actor=works.supervisor, name="Bench")[0]


def new(**changes) -> NewPerson:
    values = {"username": "nora", "name": "Nora New", "roles": (Role.TESTER,), **changes}
    return NewPerson(**values)


def wrong(bench, user, times=1) -> list[str]:
    codes = []
    for _ in range(times):
        with pytest.raises(RecordError) as raised:
            pin_check(terminal=bench, user=user, pin="0000")
        codes.append(raised.value.code)
    return codes


# PINs


def test_the_right_pin_at_an_enrolled_terminal_opens(works, bench):
    pin_check(terminal=bench, user=works.people["tester"], pin=factories.PIN)


def test_five_wrong_pins_lock_that_person_at_that_terminal_only(works, bench):
    tester, mate = works.people["tester"], works.people["mate"]
    assert wrong(bench, tester, 6) == ["pin_wrong"] * 4 + ["pin_locked"] * 2
    with story.refused("pin_locked"):
        pin_check(terminal=bench, user=tester, pin=factories.PIN)
    pin_check(terminal=bench, user=mate, pin=factories.PIN)
    other = terminal_enroll(actor=works.supervisor, name="Second bench")[0]
    pin_check(terminal=other, user=tester, pin=factories.PIN)


def test_the_lock_opens_after_fifteen_minutes(works, bench):
    tester = works.people["tester"]
    wrong(bench, tester, 5)
    with story.later(14.9), story.refused("pin_locked"):
        pin_check(terminal=bench, user=tester, pin=factories.PIN)
    with story.later(15):
        assert wrong(bench, tester) == ["pin_wrong"]
        pin_check(terminal=bench, user=tester, pin=factories.PIN)


def test_a_supervisor_unlocks(works, bench):
    tester = works.people["tester"]
    wrong(bench, tester, 5)
    with pytest.raises(NotAllowed):
        pin_unlock(actor=works.mate, user=tester)
    pin_unlock(actor=works.supervisor, user=tester)
    pin_check(terminal=bench, user=tester, pin=factories.PIN)


def test_the_right_pin_sets_the_count_back(works, bench):
    tester = works.people["tester"]
    wrong(bench, tester, 4)
    pin_check(terminal=bench, user=tester, pin=factories.PIN)
    assert PinLock.objects.get().failures == 0
    assert wrong(bench, tester, 4) == ["pin_wrong"] * 4


def test_a_pin_opens_nothing_once_the_person_or_terminal_is_out(works, elsewhere, bench):
    tester = works.people["tester"]
    with story.refused("no_pin"):
        pin_check(terminal=bench, user=elsewhere.people["tester"], pin=factories.PIN)
    roles_end(actor=factories.founder(works.plant), user=tester, roles=[Role.TESTER])
    with story.refused("no_pin"):
        pin_check(terminal=bench, user=tester, pin=factories.PIN)
    terminal_revoke(actor=works.supervisor, terminal=bench)
    with story.refused("terminal_revoked"):
        pin_check(terminal=bench, user=works.people["mate"], pin=factories.PIN)


@pytest.mark.parametrize("pin", ["123", "123456789", "1111", "12a4", "", "٤٣٢١"])
def test_it_refuses_what_is_no_pin(works, pin):
    with story.refused("pin_shape"):
        pin_set(actor=works.tester, user=works.people["tester"], pin=pin)


def test_one_sets_ones_own_pin_and_a_supervisor_a_members(works, elsewhere):
    pin_set(actor=works.tester, user=works.people["tester"], pin="8642")
    pin_set(actor=works.supervisor, user=works.people["mate"], pin="8642")
    with pytest.raises(NotAllowed):
        pin_set(actor=works.tester, user=works.people["mate"], pin="8642")
    with story.refused("not_a_member"):
        pin_set(actor=works.supervisor, user=elsewhere.people["tester"], pin="8642")
    assert "8642" not in " ".join(Pin.objects.values_list("hash", flat=True))


def test_nobody_gets_the_pin_of_a_second_person_to_sign(works):
    with story.refused("pin_not_yours"):
        pin_set(actor=works.supervisor, user=works.people["chemist"], pin="8642")
    pin_set(actor=works.supervisor, user=works.people["supervisor"], pin="8642")
    pin_set(actor=factories.founder(works.plant), user=works.people["chemist"], pin="8642")


def test_a_new_pin_lifts_the_pause_after_wrong_ones(works, bench):
    tester = works.people["tester"]
    wrong(bench, tester, 5)
    pin_set(actor=works.supervisor, user=tester, pin="8642")
    pin_check(terminal=bench, user=tester, pin="8642")
    assert AuditEvent.objects.filter(verb="PIN set", by=works.supervisor.user).count() == 1


# roles


def test_a_supervisor_enrolls_testers_and_nobody_who_could_sign(works):
    people_add(actor=works.supervisor, people=[new()])
    assert AuditEvent.objects.filter(verb="role given", by=works.supervisor.user).exists()
    for role in (Role.SUPERVISOR, Role.CHEMIST, Role.ADMINISTRATOR):
        with story.refused("role_not_yours"):
            people_add(actor=works.supervisor, people=[new(username="puppet", roles=(role,))])
        with story.refused("role_not_yours"):
            roles_give(works.supervisor, works.people["supervisor"], [role])
    assert not User.objects.filter(username="puppet").exists()


def test_an_administrator_gives_every_role(works):
    keeper = factories.person(works.plant, "ada", "Ada Admin", Role.ADMINISTRATOR)
    ada = factories.actor(keeper, works.plant)
    people_add(actor=ada, people=[new(roles=(Role.SUPERVISOR, Role.CHEMIST))])
    assert User.objects.get(username="nora") in members_at(works.plant, [Role.CHEMIST])


def test_a_tester_manages_nobody(works):
    for deed in (
        lambda: people_add(actor=works.tester, people=[new()]),
        lambda: roles_give(works.tester, works.people["tester"], [Role.SUPERVISOR]),
        lambda: roles_end(actor=works.tester, user=works.people["mate"], roles=[Role.TESTER]),
    ):
        with pytest.raises(NotAllowed):
            deed()


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"username": ""}, "username_needed"),
        ({"username": "a b"}, "username_needed"),
        ({"username": "x" * 61}, "username_needed"),
        ({"username": "TESS-larkfield"}, "username_taken"),
        ({"name": " "}, "name_needed"),
        ({"name": "a\0b"}, "name_needed"),
        ({"roles": ()}, "role_needed"),
        ({"password": "password"}, "password_weak"),
        ({"pin": "12"}, "pin_shape"),
    ],
)
def test_it_refuses_a_person_who_cannot_be_added(works, change, code):
    before = User.objects.count()
    with story.refused(code):
        people_add(actor=works.supervisor, people=[new(**change)])
    assert User.objects.count() == before


def test_an_ended_role_is_kept_and_opens_nothing(works):
    user = works.people["tester"]
    roles_end(actor=works.supervisor, user=user, roles=[Role.TESTER])
    assert Membership.objects.get(user=user).until == clock.now()
    with pytest.raises(Http404):
        actor_at(user, works.plant.pk)
    assert plants_of(user) == []
    assert user not in members_at(works.plant, list(Role))
    with story.later(1):
        roles_give(works.supervisor, user, [Role.TESTER])
        assert actor_at(user, works.plant.pk).roles == {Role.TESTER}


def test_a_plant_keeps_an_administrator(works):
    ada, ben = (factories.person(works.plant, n, n, Role.ADMINISTRATOR) for n in ("ada", "ben"))
    actor, role = factories.founder(works.plant), [Role.ADMINISTRATOR]
    roles_end(actor=actor, user=ada, roles=role)
    with story.refused("last_administrator"):
        roles_end(actor=actor, user=ben, roles=role)
    assert members_at(works.plant, role) == [ben]


def test_who_was_here_is_listed_after_who_is(works):
    roles_end(actor=works.supervisor, user=works.people["mate"], roles=[Role.TESTER])
    people = people_at(works.plant)
    assert list(people)[-1] == works.people["mate"] and people[works.people["mate"]] == set()
    assert people[works.people["chemist"]] == {Role.CHEMIST}


def test_the_first_administrator_is_the_only_first_one(db, at_noon):
    plant = factories.plant()
    given = {"name": "Ada", "password": factories.PASSWORD}
    user = first_administrator(plant=plant, username="ada", **given)
    assert actor_at(user, plant.pk).roles == {Role.ADMINISTRATOR, Role.SUPERVISOR, Role.CHEMIST}
    with story.refused("not_first"):
        first_administrator(plant=plant, username="eve", **given)
    assert not User.objects.filter(username="eve").exists()


# terminals


def test_a_terminal_is_known_by_its_token_until_it_is_revoked(works):
    terminal, token = terminal_enroll(actor=works.supervisor, name="Bench")
    assert token not in terminal.token_digest
    assert terminal_of(token) == terminal
    assert terminal_of("x") is None and terminal_of("") is None
    terminal_revoke(actor=works.supervisor, terminal=terminal)
    assert terminal_of(token) is None
    with pytest.raises(Http404):
        actor_at(works.people["tester"], works.plant.pk, terminal=terminal)


def test_a_terminal_has_a_name_of_its_own_and_belongs_to_its_plant(works, elsewhere, bench):
    for name in ("Bench", " ", "x" * 81):
        with story.refused("terminal_name"):
            terminal_enroll(actor=works.supervisor, name=name)
    with pytest.raises(NotAllowed):
        terminal_enroll(actor=works.tester, name="Mine")
    with story.refused("not_here"):
        terminal_revoke(actor=elsewhere.supervisor, terminal=bench)


# the gate


def test_an_outsider_and_a_member_elsewhere_find_nothing(works, elsewhere):
    sample = story.draw(works, "1240")
    outsider = User.objects.create(username="olga", name="Olga Outsider")
    for user in (outsider, elsewhere.people["tester"], None):
        with pytest.raises(Http404):
            actor_at(user, works.plant.pk)
    with pytest.raises(Http404):
        row_for(elsewhere.tester, Sample, sample.pk)
    with pytest.raises(Http404):
        row_for(works.tester, Sample, "no-key")
    assert row_for(works.tester, Sample, sample.pk) == sample


def test_an_administrator_sees_no_result(works):
    sample = story.draw(works, "1240")
    keeper = factories.person(works.plant, "ada", "Ada Admin", Role.ADMINISTRATOR)
    with pytest.raises(Http404):
        row_for(factories.actor(keeper, works.plant), Sample, sample.pk)


def test_a_terminal_opens_its_own_plant_alone(works, elsewhere, bench):
    both = works.people["tester"]
    Membership.objects.create(plant=elsewhere.plant, user=both, role=Role.TESTER, since=clock.now())
    assert actor_at(both, elsewhere.plant.pk)
    with pytest.raises(Http404):
        actor_at(both, elsewhere.plant.pk, terminal=bench)


def test_who_is_shut_out_or_not_yet_in_finds_nothing(works):
    user = works.people["tester"]
    Membership.objects.filter(user=user).update(since=clock.now() + timedelta(minutes=1))
    with pytest.raises(Http404):
        actor_at(user, works.plant.pk)
    User.objects.filter(pk=user.pk).update(is_active=False)
    assert active_user(str(user.pk)) is None and active_user("x") is None
    with story.later(5), pytest.raises(Http404):
        actor_at(User.objects.get(pk=user.pk), works.plant.pk)


def test_every_deed_is_allowed_to_somebody():
    assert set(ALLOWED) == set(Deed)
    assert not any(may(frozenset(), deed) for deed in Deed)
