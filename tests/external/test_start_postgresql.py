"""The program as it starts on PostgreSQL: its workers share no connection with who forked them."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from tests.backups import vacant
from tests.served import served

ASKED = 40


@pytest.mark.django_db(transaction=True)
def test_every_worker_answers_out_of_the_store(tmp_path: Path) -> None:
    with vacant() as place, served(tmp_path / "data", **place) as server:
        with ThreadPoolExecutor(8) as people:
            answers = list(people.map(lambda _: server.visitor().get("/setup"), range(ASKED)))
        console = server.console
    assert [each.status_code for each in answers] == [200] * ASKED
    assert "Traceback" not in console
