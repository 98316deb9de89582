"""Wrong passwords are counted wherever they are made, and lock that account for a while."""

from django.core.management import call_command
from django.urls import reverse

from records.models import LogSheet
from tests import factories
from tests.dashboards.conftest import at_desk


def _wrong(client, username: str):
    sent = {"username": username, "password": "not the pass phrase"}
    return client.post(reverse("login"), sent)


def test_it_locks_an_account_after_ten_wrong_passwords(works, client, settings):
    name = works.people["supervisor"].username
    for _ in range(settings.AXES_FAILURE_LIMIT):
        answer = _wrong(client, name)
    assert answer.status_code == 422
    right = {"username": name, "password": factories.PASSWORD}
    locked = client.post(reverse("login"), right)
    assert locked.status_code == 422
    assert "Too many wrong passwords" in locked.content.decode()


def test_it_locks_nobody_else(works, client, settings):
    for _ in range(settings.AXES_FAILURE_LIMIT):
        _wrong(client, works.people["supervisor"].username)
    other = {"username": works.people["chemist"].username, "password": factories.PASSWORD}
    assert client.post(reverse("login"), other).status_code == 302


def test_a_right_password_clears_the_count(works, client, settings):
    name = works.people["supervisor"].username
    for _ in range(2):
        for _ in range(settings.AXES_FAILURE_LIMIT - 1):
            _wrong(client, name)
        right = {"username": name, "password": factories.PASSWORD}
        assert client.post(reverse("login"), right).status_code == 302
        client.logout()


def test_wrong_passwords_on_a_signature_count_too(works, settings):
    factories.sample(works.tester, works.point, factories.conductivity("1240", works.used))
    sheet = LogSheet.objects.get(plant=works.plant)
    client = at_desk(works.people["supervisor"])
    url = reverse("sheet-sign", args=[works.plant.pk, sheet.pk])
    for n in range(settings.AXES_FAILURE_LIMIT):
        sent = {"password": "wrong", "seen": "", "key": f"try-{n}"}
        assert client.post(url, sent).status_code == 422
    sent = {"password": factories.PASSWORD, "seen": "", "key": "last"}
    assert "Too many wrong passwords" in client.post(url, sent).content.decode()


def test_a_lost_password_is_set_anew_on_the_console(works, client, monkeypatch):
    """Whoever is signed in under the old one is sent away."""
    sam = works.people["supervisor"]
    desk = reverse("plant", args=[works.plant.pk])
    before = at_desk(sam)
    assert before.get(desk).status_code == 200
    monkeypatch.setattr("getpass.getpass", lambda prompt: "another long pass phrase")
    call_command("changepassword", sam.username)
    assert before.get(desk).status_code == 302
    new = {"username": sam.username, "password": "another long pass phrase"}
    assert client.post(reverse("login"), new).status_code == 302
