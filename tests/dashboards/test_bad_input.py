"""What bad input gets: a message beside its field, what was typed kept, nothing stored, no 500."""

from types import SimpleNamespace
from uuid import uuid4

import pytest
from django.urls import reverse
from django_scopes import scope
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from records.models import Action, DueSlot, Measurement, Remedy, Result, Sample, Verdict
from tests.dashboards.conftest import Browser, begun
from tests.dashboards.forms import bench_form, bench_urls
from tests.dashboards.page import Page
from tests.records import story

# field as sent, what is typed, id of the field beside which it is told, part of what is told
BAD = [
    pytest.param("reading", "abc", "conductivity-reading", "is not a number", id="text"),
    pytest.param("reading", "", "conductivity-reading", "still needed", id="nothing"),
    pytest.param("reading", "12,3,4", "conductivity-reading", "not a number", id="two commas"),
    pytest.param("reading", "1,234", "conductivity-reading", "1234 or 1.234", id="either way"),
    pytest.param("reading", "0", "conductivity-reading", "less than pure water", id="zero"),
    pytest.param("reading", "-5", "conductivity-reading", "less than pure water", id="negative"),
    pytest.param("reading", "9e9", "conductivity-reading", "can't be right", id="far too high"),
    pytest.param("reading", "1e999", "conductivity-reading", "too large", id="out of scale"),
    pytest.param("reading", "NaN", "conductivity-reading", "not a number", id="not a number"),
    pytest.param("reading", "78 psi", "conductivity-reading", "psi does not fit", id="psi"),
    pytest.param("reading", "7 foo", "conductivity-reading", "foo", id="a unit nobody knows"),
    pytest.param("reading", "1" * 300, "conductivity-reading", "too long", id="300 digits"),
    pytest.param("reading", "9" * 301, "conductivity-reading", "too long", id="301 digits"),
    pytest.param("reading", "14\x0020", "conductivity-reading", "not known here", id="NUL"),
    pytest.param("temperature", "-5", "conductivity-temperature", "would be ice", id="-5 °C"),
    pytest.param("temperature", "212", "conductivity-temperature", "scald", id="212 °F"),
    pytest.param("temperature", "warm", "conductivity-temperature", "not a number", id="warm"),
    pytest.param("temperature", "25 bar", "conductivity-temperature", "does not fit", id="bar"),
    pytest.param("neutralized", "maybe", "conductivity-neutralized", "Pick one", id="no choice"),
    pytest.param("meter", "", "conductivity-with-meter", "which instrument", id="no meter"),
    pytest.param("meter", "no-key", "conductivity-with-meter", "not on the plant", id="no key"),
    pytest.param("meter", str(uuid4()), "conductivity-with-meter", "not on the", id="unknown"),
    pytest.param("drawn_at", "2026-03-10T12:10", "drawn-at", "later than now", id="future"),
    pytest.param("drawn_at", "2026-01-10T12:00", "drawn-at", "30 days ago", id="long ago"),
    pytest.param("drawn_at", "half past nine", "drawn-at", "date and time", id="no time"),
    pytest.param("drawn_at", "", "drawn-at", "date and time", id="empty time"),
    pytest.param("drawn_at", "9999-99-99T99:99", "drawn-at", "date and time", id="impossible time"),
]
NAMES = {
    "reading": "conductivity.reading",
    "temperature": "conductivity.temperature",
    "meter": "conductivity@meter",
    "drawn_at": "drawn_at",
}


def nothing_stored(works: SimpleNamespace) -> bool:
    kinds = (Sample, Measurement, Result, Verdict)
    return not any(kind.objects.filter(plant=works.plant).exists() for kind in kinds)


@pytest.mark.parametrize(("field", "typed", "where", "told"), BAD)
def test_it_is_told_beside_its_field_and_stays_typed(
    works: SimpleNamespace, tess: Browser, field: str, typed: str, where: str, told: str
) -> None:
    draft = begun(works)
    unit = {"temperature_unit": "degC"} if (field, typed) == ("temperature", "-5") else {}
    page = Page(tess.post(bench_urls(draft).finish, bench_form(works, **unit, **{field: typed})))
    assert page.status == 422
    assert told in page.told()[where], page.told()
    assert list(page.told()) == [where]
    if field in NAMES and field != "meter":
        assert page.values[NAMES[field]] == typed
    assert nothing_stored(works)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        pytest.param("1234,5", "1234.5", id="a decimal comma that can mean nothing else"),
        pytest.param("1.234,5", "1234.5", id="grouped by points"),
        pytest.param("1,234.5", "1234.5", id="grouped by commas"),
        pytest.param("1,22 mS/cm", "1.22", id="the unit typed beside it wins"),
    ],
)
def test_a_comma_is_taken_where_it_can_mean_one_thing_only(
    works: SimpleNamespace, tess: Browser, typed: str, value: str
) -> None:
    draft = begun(works)
    assert tess.post(bench_urls(draft).finish, bench_form(works, typed)).status_code == 302
    reading = Measurement.objects.get(plant=works.plant).readings.get(field="reading")
    assert (reading.typed, reading.normalized) == (typed, value)


def test_a_way_of_working_that_is_none_is_refused(works: SimpleNamespace, tess: Browser) -> None:
    draft = begun(works)
    page = Page(tess.post(bench_urls(draft).finish, bench_form(works, mode="by eye")))
    assert page.status == 422 and "by eye" in page.words
    assert nothing_stored(works)


def test_another_plants_instrument_is_not_on_the_list(
    works: SimpleNamespace, dairy: SimpleNamespace, tess: Browser
) -> None:
    draft = begun(works)
    sent = bench_form(works, meter=dairy.used["meter"])
    page = Page(tess.post(bench_urls(draft).finish, sent))
    assert page.status == 422
    assert "not on the plant's list" in page.told()["conductivity-with-meter"]
    assert nothing_stored(works)


def test_another_plants_point_and_slot_do_not_exist(
    works: SimpleNamespace, dairy: SimpleNamespace, tess: Browser
) -> None:
    from records.services.slots import slots_expand

    with scope(plant=dairy.plant):
        slots_expand(dairy.plant)
        theirs = DueSlot.objects.filter(plant=dairy.plant).first()
    foreign = reverse("sample-start", args=[works.plant.pk, dairy.point.pk])
    assert tess.post(foreign, {"method": "conductivity"}).status_code == 404
    own = reverse("sample-start", args=[works.plant.pk, works.point.pk])
    sent = {"method": "conductivity", "slot": str(theirs.pk)}  # type: ignore[union-attr]
    assert tess.post(own, sent).status_code == 404


def test_text_that_cannot_be_kept_is_told_and_the_sheet_stays(
    works: SimpleNamespace, tess: Browser
) -> None:
    draft = begun(works)
    for typed in ("x" * 301, "1\x002"):
        sent = bench_form(works, typed)
        part = tess.post(bench_urls(draft).work, sent, headers={"HX-Request": "true"})
        assert part.status_code == 422 and 20 < len(part.content) < 300 and b"<" not in part.content
        whole = Page(tess.post(bench_urls(draft).work, sent))
        assert whole.status == 422 and whole.values["conductivity.reading"] == typed
        assert whole.alerts
    draft.refresh_from_db()
    assert draft.revision == 0


def test_half_of_a_pair_sent_raw_is_no_fault_of_ours(works: SimpleNamespace, tess: Browser) -> None:
    """A lone surrogate can't be sent by a form; its raw bytes are no UTF-8 and no number either."""
    draft = begun(works)
    body = b"drawn_at=2026-03-10T11:55&revision=0&conductivity.reading=%ED%A0%80"
    kind = "application/x-www-form-urlencoded"
    page = Page(tess.post(bench_urls(draft).finish, body, content_type=kind))
    assert page.status == 422 and "not a number" in page.told()["conductivity-reading"]
    assert nothing_stored(works)


FREE_TEXT = st.text(max_size=320)


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    database=None,
)
@given(
    typed=st.fixed_dictionaries(
        {},
        optional={
            name: FREE_TEXT
            for name in (
                "drawn_at", "revision", "mode", "reading", "reading_unit", "temperature",
                "temperature_unit", "neutralized", "meter", "cell", "thermometer", "meter_reason",
            )
        },
    ),
    press=st.sampled_from(["work", "finish"]),
)  # fmt: skip
def test_no_text_whatever_breaks_the_bench_form(
    works: SimpleNamespace, tess: Browser, typed: dict[str, str], press: str
) -> None:
    draft = begun(works)
    sent = bench_form(works, **typed)
    sent = {key: text.encode("utf-8", "replace").decode() for key, text in sent.items()}
    url = getattr(bench_urls(draft), press)
    assert tess.post(url, sent).status_code in (200, 302, 409, 422)


@pytest.mark.parametrize(
    ("field", "typed", "where", "told"),
    [
        ("steam_flow", "lots", "f-steam_flow", "not a number"),
        ("steam_flow", "", "f-steam_flow", "still needed"),
        ("steam_flow", "-3", "f-steam_flow", "can't be right"),
        ("feed_conductivity", "60 psi", "f-feed_conductivity", "does not fit"),
        ("makeup_temperature", "1" * 300, "f-makeup_temperature", "too long"),
        ("makeup_temperature", "6\x000", "f-makeup_temperature", "not known here"),
    ],
)
def test_a_figure_for_a_remedy_is_told_beside_its_field(
    works: SimpleNamespace, tess: Browser, field: str, typed: str, where: str, told: str
) -> None:
    sample = story.draw(works, "1500")
    url = reverse("remedy-plan", args=[works.plant.pk, sample.pk])
    units = {f"{key}.unit": unit for key, unit in story.REMEDY_UNITS.items()}
    page = Page(tess.post(url, {**story.REMEDY_TYPED, **units, field: typed, "key": "k1"}))
    assert page.status == 422 and told in page.told()[where]
    assert page.values[field] == typed
    assert not Remedy.objects.filter(plant=works.plant).exists()


@pytest.mark.parametrize(
    ("changed", "where", "told"),
    [
        ({"kind": ""}, "f-kind", "Say what was done."),
        ({"kind": "\0"}, "f-kind", "Say what was done."),
        ({"kind": "nothing", "note": ""}, "f-note", "in a few words"),
        ({"note": "x" * 301}, "f-note", "too long"),
        ({"note": "a\0b"}, "f-note", "can't be stored"),
        ({"amount": "x" * 300}, "f-amount", "too long"),
        ({"done_at": "2026-03-10T13:00"}, "f-done_at", "later than now"),
        ({"done_at": "soon"}, "f-done_at", "date and time"),
        ({"retest_at": ""}, "f-retest_at", "date and time"),
        ({"retest_at": "2026-03-10T12:01"}, "f-retest_at", "between 10 minutes and 24 hours"),
    ],
)
def test_what_was_done_is_refused_beside_its_field(
    works: SimpleNamespace, tess: Browser, changed: dict[str, str], where: str, told: str
) -> None:
    sample = story.draw(works, "1500")
    sent = {
        "kind": "blowdown",
        "amount": "two turns",
        "note": "steady now",
        "done_at": "2026-03-10T12:00",
        "retest_at": "2026-03-10T12:30",
        "key": "k1",
    } | changed
    page = Page(tess.post(reverse("action-record", args=[works.plant.pk, sample.pk]), sent))
    assert page.status == 422 and told in page.told()[where], page.told()
    kept = {name: page.values[name] for name in ("amount", "note", "done_at", "retest_at")}
    assert kept == {name: sent[name] for name in kept}
    assert not Action.objects.filter(plant=works.plant).exists()


@pytest.mark.parametrize("key", ["", "x" * 65, "a\0b", None])
def test_a_form_without_a_usable_key_is_told_so(
    works: SimpleNamespace, tess: Browser, key: str | None
) -> None:
    sample = story.draw(works, "1500")
    units = {f"{name}.unit": unit for name, unit in story.REMEDY_UNITS.items()}
    sent = {
        "kind": "blowdown", "amount": "two turns", "note": "the repeat",
        "done_at": "2026-03-10T12:00", "retest_at": "2026-03-10T12:30",
        **story.REMEDY_TYPED, **units, **({} if key is None else {"key": key}),
    }  # fmt: skip
    for name in ("remedy-plan", "action-record"):
        page = Page(tess.post(reverse(name, args=[works.plant.pk, sample.pk]), sent))
        assert page.status == 422 and "without a usable key" in page.alerts, name
    assert not Action.objects.filter(plant=works.plant).exists()
