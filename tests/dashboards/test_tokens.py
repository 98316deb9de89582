"""The page of tokens: made by password, shown once, revoked."""

from types import SimpleNamespace

import pytest
from django.urls import reverse
from django_scopes import scope

from records.access import actor_by_token
from records.models import ApiToken
from tests import factories
from tests.dashboards.conftest import Browser
from tests.dashboards.page import Page


def sent(works: SimpleNamespace, **changed: str) -> dict[str, str]:
    return {
        "label": "Laboratory",
        "user": str(works.people["tester"].pk),
        "allows": "sends",
        "lasts": "90",
        "password": factories.PASSWORD,
    } | changed


def issue(works: SimpleNamespace, browser: Browser, **changed: str) -> Page:
    url = reverse("token-issue", args=[works.plant.pk])
    return Page(browser.post(url, sent(works, **changed)))


def secret_on(page: Page) -> str:
    return next((word for word in page.words.split() if len(word) > 40), "")


def test_its_secret_is_shown_once_and_opens_the_api(works: SimpleNamespace, sam: Browser) -> None:
    secret = secret_on(issue(works, sam))
    actor = actor_by_token(secret)
    assert actor is not None and actor.user == works.people["tester"]
    again = Page(sam.get(reverse("tokens", args=[works.plant.pk])))
    assert secret not in again.words and secret[:10] in again.words
    assert "Tess Tanner, looks and sends samples" in again.words


def test_one_that_only_looks_sends_nothing(works: SimpleNamespace, sam: Browser) -> None:
    actor = actor_by_token(secret_on(issue(works, sam, allows="looks")))
    assert actor is not None and actor.token is not None and not actor.token.may_send


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"password": "wrong"}, "f-password", "not your password"),
        ({"password": ""}, "f-password", "not your password"),
        ({"label": ""}, "f-label", "Name the program"),
        ({"user": ""}, "f-user", "no role at this plant"),
        ({"user": "no-key"}, "f-user", "no role at this plant"),
        ({"lasts": "9999"}, "f-lasts", "from the choices"),
        ({"lasts": "²"}, "f-lasts", "from the choices"),
    ],
)
def test_what_is_refused_is_told_beside_its_field(
    works: SimpleNamespace, sam: Browser, changed: dict[str, str], where: str, told: str
) -> None:
    page = issue(works, sam, **changed)
    assert page.status == 422 and told in page.told()[where]
    assert page.values["label"] == sent(works, **changed)["label"]
    assert not secret_on(page) and not ApiToken.objects.exists()


def test_people_for_whom_one_may_not_are_not_offered(works: SimpleNamespace, sam: Browser) -> None:
    page = Page(sam.get(reverse("tokens", args=[works.plant.pk])))
    assert "Tess Tanner" in page.words and "Cleo Carver" not in page.words
    chemist = str(works.people["chemist"].pk)
    assert "does not allow" in issue(works, sam, user=chemist).told()["f-user"]


def test_it_is_revoked(works: SimpleNamespace, sam: Browser, dairy: SimpleNamespace) -> None:
    secret, url = secret_on(issue(works, sam)), reverse("tokens", args=[works.plant.pk])
    token = ApiToken.objects.get()
    assert sam.post(url, {"revoke": str(token.pk)}).status_code == 302
    assert actor_by_token(secret) is None
    assert "revoked" in Page(sam.get(url)).words
    with scope(plant=dairy.plant):
        assert not ApiToken.objects.exists()
