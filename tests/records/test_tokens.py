"""Tokens: who may make one, for whom, what it opens, and that its maker does not sign."""

from datetime import timedelta

import pytest

from records import clock
from records.access import actor_by_token
from records.actors import Proof
from records.errors import NotAllowed
from records.models import ApiToken, AuditEvent, Role, SentSample
from records.permissions import Deed
from records.services.people import roles_end
from records.services.sheets import sheet_hand_in
from records.services.tokens import NewToken, token_issue, token_revoke, token_used
from tests import factories
from tests.records import story


def issue(works, by="supervisor", to="tester", **changed):
    new = {"label": "Laboratory", "may_send": True, "lasts_days": 30} | changed
    return token_issue(actor=getattr(works, by), new=NewToken(user=works.people[to], **new))


def test_the_secret_is_kept_nowhere(works):
    token, secret = issue(works)
    kept = [str(getattr(token, field.attname)) for field in ApiToken._meta.concrete_fields]
    assert len(secret) > 40 and not [text for text in kept if secret in text]
    assert secret.startswith(token.prefix) and len(token.prefix) < 12
    assert secret not in " ".join(AuditEvent.objects.values_list("subject", flat=True))
    assert actor_by_token(secret).user == works.people["tester"]
    assert actor_by_token(secret[:-1] + "!") is None


@pytest.mark.parametrize(("by", "to"), [("supervisor", "supervisor"), ("supervisor", "tester")])
def test_one_makes_it_for_oneself_or_for_whom_one_enrolls(works, by, to):
    assert issue(works, by, to)[0].made_by == works.people[by]


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"to": "chemist"}, "not_for_them"),
        ({"label": " "}, "label_needed"),
        ({"label": "x" * 81}, "too_long"),
        ({"label": "a\0b"}, "not_text"),
        ({"lasts_days": 31}, "lasts_wrong"),
    ],
)
def test_what_is_refused(works, changed, code):
    with story.refused(code):
        issue(works, **changed)
    assert not ApiToken.objects.exists()


@pytest.mark.parametrize("by", ["tester", "chemist"])
def test_a_role_that_may_not(works, by):
    with pytest.raises(NotAllowed):
        issue(works, by, by)


def test_it_asks_for_the_password(works):
    works.supervisor = works.supervisor.proved_by(Proof.SESSION)
    with story.refused("proof_needed"):
        issue(works)


def test_two_in_use_are_not_named_alike(works):
    token, _secret = issue(works)
    with story.refused("label_taken"):
        issue(works)
    token_revoke(actor=works.supervisor, token=token)
    assert issue(works)[0].label == token.label


def test_a_person_of_another_plant_is_none_here(works, elsewhere):
    works.people["stranger"] = elsewhere.people["tester"]
    with story.refused("not_a_member"):
        issue(works, to="stranger")


def test_it_never_signs_corrects_or_sets_up(works):
    for who in ("tester", "supervisor", "chemist"):
        sends = story.by_token(works, who)
        assert {deed for deed in Deed if sends.may(deed)} == {Deed.SEE, Deed.TEST}
    reads = story.by_token(works, "tester", may_send=False, label="Reads")
    assert {deed for deed in Deed if reads.may(deed)} == {Deed.SEE}
    sheet = story.draw(works, "1240").sheet
    with pytest.raises(NotAllowed):
        sheet_hand_in(actor=story.by_token(works, "mate", label="x"), sheet=sheet, seen="", key="k")


def test_it_opens_nothing_once_it_is_over(works):
    token, secret = issue(works)
    with clock.clock_at(token.expires_at - timedelta(seconds=1)):
        assert actor_by_token(secret) is not None
    with clock.clock_at(token.expires_at):
        assert actor_by_token(secret) is None
    token_revoke(actor=works.supervisor, token=token)
    assert actor_by_token(secret) is None


def test_it_ends_with_the_persons_role(works):
    _token, secret = issue(works)
    roles_end(actor=works.supervisor, user=works.people["tester"], roles=[Role.TESTER])
    assert actor_by_token(secret) is None


def test_it_notes_the_day_of_its_use_once(works, django_assert_num_queries):
    _token, secret = issue(works)
    token_used(actor_by_token(secret).token)
    again = actor_by_token(secret).token
    assert again.last_used_on.isoformat() == "2026-03-10"
    with django_assert_num_queries(0):
        token_used(again)


def test_who_made_the_token_does_not_sign_what_came_by_it(works):
    """Else one could test under another name and sign as well."""
    by = story.by_token(works, "tester", maker=works.supervisor)
    sent = factories.sample(by, works.point, factories.conductivity("1240", works.used))
    sheet = SentSample.objects.get(sample=sent).sample.sheet
    story.hand_in(works, sheet)
    with story.refused("own_token"):
        story.sign(works, sheet)
    story.sign(works, sheet, by=works.chemist)


def test_nor_does_he_sign_its_amendment(works):
    by = story.by_token(works, "tester", maker=works.supervisor)
    sent = factories.sample(by, works.point, factories.conductivity("1240", works.used))
    sample = SentSample.objects.get(sample=sent).sample
    story.hand_in(works, sample.sheet)
    story.sign(works, sample.sheet, by=works.chemist)
    amended = story.correct(works, sample.measurements.get(), "1250", by=works.mate)
    with story.refused("own_token"):
        story.decide(works, amended.amendments.get())
    story.decide(works, amended.amendments.get(), by=works.chemist)
