"""Bad input through the service, for every method and mode that asks for it."""

from datetime import timedelta
from types import SimpleNamespace

import pytest

from chemistry.methods.base import Method
from records import clock
from records.services.samples import TestsRefused
from tests import factories
from tests.bad_lines import CASES, Line
from tests.records import story
from tests.sheets import METHODS, entry_of, stored

pytestmark = pytest.mark.django_db  # so that a database is set up for `bare`


@pytest.mark.parametrize(("line", "method"), CASES)
def test_it_is_refused_beside_its_field_and_not_stored(
    bare: SimpleNamespace, line: Line, method: Method
) -> None:
    for mode in line.modes_of(method):
        with pytest.raises(TestsRefused) as raised:
            factories.sample(bare.tester, bare.point, entry_of(bare, method, mode, **line.typed))
        (trouble,) = raised.value.by_test[method.key].items()
        assert (trouble[0], trouble[1].code) == (line.where, line.code), mode
        assert line.told in str(trouble[1])
    assert stored(bare.plant) == []


@pytest.mark.parametrize("method", METHODS, ids=lambda method: method.key)
def test_a_draw_in_the_future_is_refused_and_not_stored(
    bare: SimpleNamespace, method: Method
) -> None:
    test = entry_of(bare, method, method.modes[0].key)
    with story.refused("future_draw") as raised:
        factories.sample(bare.tester, bare.point, test, drawn_at=clock.now() + timedelta(minutes=3))
    assert raised.value.field == "drawn_at"
    assert stored(bare.plant) == []
