"""The handbook's page for other programs, carried out as it is printed.

In an answer `<name>` stands for a text that is learned there and used from then on; a key or last
line of three dots stands for more of the same.
"""

import json
import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from django.test import Client

from tests.records.api.conftest import token_for

PAGE = Path(__file__).resolve().parents[3] / "dashboards" / "help" / "api.md"
BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
NAME = re.compile(r"<([a-z]+)>")
MORE = "…"


def blocks() -> list[str]:
    found = BLOCK.findall(PAGE.read_text(encoding="utf-8"))
    assert {kind for kind, _text in found} == {"http"}
    return [text for _kind, text in found]


def carried_out(request: str, known: dict[str, str]) -> Any:
    """Send a request as it is printed, with what is known put in."""
    text = NAME.sub(lambda found: known[found[1]], request)
    head, _blank, body = text.partition("\n\n")
    first, *lines = head.splitlines()
    method, url = first.split(" ")
    headers = dict(line.split(": ", 1) for line in lines)
    kind = headers.pop("Content-Type", "application/json")
    return Client().generic(method, url, body, content_type=kind, headers=headers)


def differences(printed: Any, got: Any, known: dict[str, str], place: str = "") -> list[str]:
    """Return where an answer is not what is printed."""
    if isinstance(printed, dict) and isinstance(got, dict):
        more = MORE in printed
        keys = {key for key in printed if key != MORE}
        fits = keys < set(got) if more else keys == set(got)
        found = [] if fits else [f"{place}: {set(got)}"]
        inner = [(key, printed[key], got.get(key)) for key in keys]
    elif isinstance(printed, list) and isinstance(got, list):
        whole = printed[:-1] if printed[-1:] == [MORE] else printed
        enough = len(got) > len(whole) if whole is not printed else len(got) == len(whole)
        found = [] if enough else [f"{place}: {len(got)}"]
        inner = [(i, each, got[i]) for i, each in enumerate(whole) if i < len(got)]
    else:
        if isinstance(printed, str) and (name := NAME.fullmatch(printed)):
            printed = known.setdefault(name[1], str(got))
        same = type(printed) is type(got) and printed == got
        return [] if same else [f"{place}: {got!r}, not {printed!r}"]
    for key, one, other in inner:
        found += differences(one, other, known, f"{place}/{key}")
    return found


def test_every_example_answers_as_printed(works: SimpleNamespace) -> None:
    known = {"token": token_for(works.people["tester"], works.plant)}
    texts = blocks()
    assert len(texts) >= 20
    for request, answer in zip(texts[::2], texts[1::2], strict=True):
        got = carried_out(request, known)
        status, _blank, printed = answer.partition("\n\n")
        assert status == f"HTTP/1.1 {got.status_code}", (request, got.content)
        assert differences(json.loads(printed), got.json(), known) == [], request


@pytest.mark.parametrize(
    ("printed", "got", "wrong"),
    [
        ({"a": "1"}, {"a": "1"}, False),
        ({"a": "1"}, {"a": "2"}, True),
        ({"a": "1"}, {"a": "1", "b": "2"}, True),
        ({"a": "1", MORE: MORE}, {"a": "1", "b": "2"}, False),
        ({"a": "1", MORE: MORE}, {"a": "1"}, True),
        (["1", MORE], ["1", "2"], False),
        (["1", MORE], ["1"], True),
        (["1"], ["1", "2"], True),
        ([], [], False),
        (["<x>", "<x>"], ["1", "1"], False),
        (["<x>", "<x>"], ["1", "2"], True),
        (True, 1, True),
        (None, "", True),
    ],
)
def test_a_difference_is_found(printed: Any, got: Any, wrong: bool) -> None:
    assert bool(differences(printed, got, {})) is wrong
