"""Any text in any field of any method, through the form: no 500, told beside its field, kept."""

from dataclasses import replace
from itertools import cycle, islice
from types import SimpleNamespace
from typing import Any

import pytest
from django.http import HttpResponse
from hypothesis import given
from hypothesis import strategies as st

from chemistry.methods.base import Method
from dashboards.forms.bench import Names
from records.errors import storable
from records.models import Draft, Reading
from records.selectors.bench import TestEntry, WorkedTest, draw_of, tests_work
from records.services.drafts import draft_open
from tests import arbitrary
from tests.dashboards.conftest import undone
from tests.dashboards.forms import bench_urls
from tests.dashboards.page import Page
from tests.sheets import METHODS, as_received, as_sent, entry_of, form_of, stored
from tests.texts import HARD, as_many_as

pytestmark = pytest.mark.django_db  # so that a database is set up for `standing`
EVERY_METHOD = pytest.mark.parametrize("method", METHODS, ids=lambda method: method.key)
LONGEST = 300  # what a bench sheet being typed holds in one field


def post(works: SimpleNamespace, url: str, form: dict[str, str], **headers: str) -> HttpResponse:
    kind = "application/x-www-form-urlencoded"
    answer: Any = works.tess.post(url, as_sent(form), content_type=kind, headers=headers)
    return answer


def received(test: TestEntry) -> TestEntry:
    """Return a test as it arrives from a form."""
    fields = ("typed", "units", "instruments", "reasons")
    texts = {
        name: {key: as_received(text) for key, text in getattr(test, name).items()}
        for name in fields
    }
    return replace(test, **texts, confirmed=as_received(test.confirmed))


def check_preview(works: SimpleNamespace, draft: Draft, form: dict[str, str]) -> bool:
    """Assert that a pause keeps all of it or says that it can't; returns whether it was kept."""
    keepable = all(storable(text) and len(text) <= LONGEST for text in form.values())
    reply = post(works, bench_urls(draft).work, form, **{"HX-Request": "true"})
    draft.refresh_from_db()
    if keepable:
        assert reply.status_code == 200
        assert draft.typed == {key: text for key, text in form.items() if key != "revision"}
        check_inert(Page(reply))
    else:
        assert reply.status_code == 422 and draft.revision == 0
        assert reply["Content-Type"].startswith("text/plain")
    return keepable


def check_inert(page: Page) -> None:
    """Assert that nothing typed became a part of the page."""
    assert not page.inline
    assert not [name for _tag, attrs in page.elements for name in attrs if name.startswith("on")]


def check_shown_again(method: Method, test: TestEntry, page: Page) -> None:
    """Assert that each field which takes free text shows what was typed in it."""
    for field in method.mode(test.mode).fields:
        if not field.choices:
            shown = page.values[Names(method.key).field(field.key)]
            assert shown == test.typed[field.key], field.key


def check_finish(works: SimpleNamespace, draft: Draft, test: TestEntry, work: WorkedTest) -> None:
    """Assert that the form stores what the service takes, and tells beside its fields what not."""
    form = form_of(test, draft.revision)
    reply = post(works, bench_urls(draft).finish, form)
    if reply.status_code == 302:
        assert not work.errors
        kept = Reading.objects.filter(plant=works.plant)
        assert all(row.typed.strip() == test.typed[row.field].strip() for row in kept)
        return
    page, names = Page(reply), Names(test.method)
    assert page.status == 422 and stored(works.plant) == []
    # where none was sent the form takes the usual instrument, and reads the reason beside it too
    usual = {names.reason_id(each.key) for each in work.method.means} - {
        names.reason_id(role) for role, chosen in test.instruments.items() if chosen
    }
    assert set(page.told()) - usual == {names.id_of_trouble(key) for key in work.errors} - usual
    assert work.errors or page.alerts
    check_shown_again(work.method, test, page)
    check_inert(page)


def check(works: SimpleNamespace, method: Method, test: TestEntry) -> None:
    """Type a test, pause, and finish it; undo all of it."""
    test = received(test)
    with undone():
        draft = draft_open(actor=works.tester, point=works.point, method_keys=[method.key])
        check_preview(works, draft, form_of(test))
        assert stored(works.plant) == []
        (work,) = tests_work(draw_of(works.point, "steaming", draft.opened_at), [test])
        check_finish(works, draft, test, work)


@EVERY_METHOD
def test_every_field_at_once(standing: SimpleNamespace, method: Method) -> None:
    texts = cycle(HARD)
    next(islice(texts, METHODS.index(method) * 7, None))
    for mode in method.modes:
        wrong = {field.key: next(texts) for field in mode.fields}
        check(standing, method, entry_of(standing, method, mode.key, **wrong))


@EVERY_METHOD
def test_anything_anywhere(standing: SimpleNamespace, method: Method) -> None:
    sheets = [entry_of(standing, method, mode.key) for mode in method.modes]
    any_sheet = st.sampled_from(sheets)

    @as_many_as(len(sheets) + 1)
    @given(any_sheet.flatmap(lambda sheet: arbitrary.anything_but(sheet, method)))
    def tried(test: TestEntry) -> None:
        check(standing, method, test)

    tried()
