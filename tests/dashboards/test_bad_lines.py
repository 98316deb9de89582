"""Bad input through the form, for every method that asks for it."""

from types import SimpleNamespace

import pytest

from chemistry.methods.base import Method
from dashboards.forms.bench import Names
from records.services.drafts import draft_open
from tests.bad_lines import CASES, Line
from tests.dashboards.conftest import undone
from tests.dashboards.forms import bench_urls
from tests.dashboards.page import Page
from tests.sheets import entry_of, form_of, stored

pytestmark = pytest.mark.django_db  # so that a database is set up for `standing`


@pytest.mark.parametrize(("line", "method"), CASES)
def test_it_is_told_beside_its_field_kept_as_typed_and_not_stored(
    standing: SimpleNamespace, line: Line, method: Method
) -> None:
    names, mode = Names(method.key), line.modes_of(method)[0]
    with undone():
        draft = draft_open(actor=standing.tester, point=standing.point, method_keys=[method.key])
        sent = form_of(entry_of(standing, method, mode, **line.typed))
        page = Page(standing.tess.post(bench_urls(draft).finish, sent))
        assert page.status == 422
        assert list(page.told()) == [names.field_id(line.where)]
        assert line.told in page.told()[names.field_id(line.where)]
        kept = {name: page.values.get(name) for name in map(names.field, line.typed)}
        assert kept == {names.field(key): text for key, text in line.typed.items()}
        assert stored(standing.plant) == []
