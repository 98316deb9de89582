"""Log sheets: handed in with the PIN, signed with a password by someone else, returned."""

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.conf import settings
from django.urls import reverse

from records.models import Amendment, LogSheet, Meaning, PinLock, Role, Signature
from records.selectors.sheets import stand_of
from tests import factories
from tests.dashboards.conftest import Browser, at_desk, at_terminal, member_of
from tests.dashboards.page import Page
from tests.records import story


@pytest.fixture
def sheet(works: SimpleNamespace) -> LogSheet:
    found: LogSheet = story.draw(works, "1500").sheet
    return found


def url(sheet: LogSheet, name: str = "sheet") -> str:
    return reverse(name, args=[sheet.plant_id, sheet.pk])


def form_of(page: Page, **more: str) -> dict[str, str]:
    """Return what the sheet's form would send: what was seen, a key of its own."""
    return {"seen": page.values["seen"], "key": page.values["key"], **more}


def press(browser: Browser, sheet: LogSheet, name: str, **more: str) -> Page:
    """Open the sheet and send one of its forms."""
    return Page(browser.post(url(sheet, name), form_of(Page(browser.get(url(sheet))), **more)))


def test_the_sheet_shows_exceptions_first_and_every_raw_reading(
    works: SimpleNamespace, sheet: LogSheet, tess: Browser
) -> None:
    words = Page(tess.get(url(sheet))).words
    assert words.index("Exceptions") < words.index("Results") < words.index("Signatures")
    assert "Reading on the meter: 1500 µmho/cm" in words and "Tess Tanner" in words
    assert "Not handed in yet." in words
    listed = Page(tess.get(reverse("sheets", args=[works.plant.pk]))).words
    assert "Being written" in listed and "1 out of range" in listed


def test_the_list_turns_its_pages_and_bears_nonsense(
    works: SimpleNamespace, sheet: LogSheet, tess: Browser
) -> None:
    for page in ("0", "7", "-1", "x", "9" * 40, "\0", "²"):
        assert tess.get(reverse("sheets", args=[works.plant.pk]), {"page": page}).status_code == 200


def test_a_tester_hands_in_with_the_pin(sheet: LogSheet, tess: Browser) -> None:
    assert press(tess, sheet, "sheet-hand-in", pin=factories.PIN).status == 302
    mark = Signature.objects.get(plant=sheet.plant_id)
    assert (mark.meaning, mark.proof, mark.terminal_name) == (Meaning.HANDED_IN, "pin", "Bench")
    assert "Handed in" in Page(tess.get(url(sheet))).words


def test_wrong_pins_count_and_lock_that_person_at_that_terminal_only(
    works: SimpleNamespace, sheet: LogSheet, tess: Browser, token: str
) -> None:
    for left in range(settings.PIN_TRIES - 1, 0, -1):
        page = press(tess, sheet, "sheet-hand-in", pin="9999")
        assert page.status == 422
        assert page.told()["f-pin"] == f"Wrong PIN. Tries left before a pause: {left}."
        assert page.values["pin"] == ""
    last = press(tess, sheet, "sheet-hand-in", pin="9999")
    assert "Too many wrong PINs. Wait until 12:15" in last.told()["f-pin"]
    right = press(tess, sheet, "sheet-hand-in", pin=factories.PIN)
    assert right.status == 422 and "Wait until" in right.told()["f-pin"]
    assert not Signature.objects.filter(plant=works.plant).exists()
    at_terminal(token, works.people["mate"])  # the others work on: their PIN opens the terminal
    with story.later(16):
        back = at_terminal(token, works.people["tester"])
        assert press(back, sheet, "sheet-hand-in", pin=factories.PIN).status == 302
    assert PinLock.objects.get(plant=works.plant, user=works.people["tester"]).failures == 0


def test_a_pin_signs_nothing_away_from_a_terminal(works: SimpleNamespace, sheet: LogSheet) -> None:
    desk = at_desk(works.people["tester"])
    page = press(desk, sheet, "sheet-hand-in", pin=factories.PIN)
    assert page.status == 422 and "not your password" in page.told()["f-password"]
    assert press(desk, sheet, "sheet-hand-in", password=factories.PASSWORD).status == 302


def test_a_supervisor_signs_with_the_password(
    works: SimpleNamespace, sheet: LogSheet, sam: Browser
) -> None:
    story.hand_in(works, sheet)
    desk = Page(sam.get(reverse("plant", args=[works.plant.pk])))
    assert "Check and sign" in desk.words
    wrong = press(sam, sheet, "sheet-sign", password="not it")
    assert wrong.status == 422 and wrong.told()["f-password"] == "This is not your password."
    assert not stand_of(sheet).signed
    assert press(sam, sheet, "sheet-sign", password=factories.PASSWORD).status == 302
    assert stand_of(sheet).signed
    page = Page(sam.get(url(sheet)))
    assert "Sam Sutter" in page.words and "Ledger head, entry" in page.words
    assert url(sheet, "sheet-sign") not in page.forms()


def test_a_pin_is_not_enough_to_sign(works: SimpleNamespace, sheet: LogSheet, token: str) -> None:
    story.hand_in(works, sheet)
    sam = at_terminal(token, works.people["supervisor"])
    page = press(sam, sheet, "sheet-sign", pin=factories.PIN)
    assert page.status == 422 and "Confirm with your password first." in page.alerts
    assert not stand_of(sheet).signed


def test_nobody_signs_own_tests(works: SimpleNamespace, sheet: LogSheet) -> None:
    story.draw(works, "1100", by=works.supervisor)
    story.hand_in(works, sheet)
    sam = at_desk(works.people["supervisor"])
    page = Page(sam.get(url(sheet)))
    assert "You tested on this sheet, so another person must sign it." in page.words
    assert url(sheet, "sheet-sign") not in page.forms()
    sent = {"seen": stand_of(sheet).digest, "key": "k", "password": factories.PASSWORD}
    refused = Page(sam.post(url(sheet, "sheet-sign"), sent))
    assert refused.status == 422 and "You tested on this sheet" in refused.words
    assert not stand_of(sheet).signed


def test_who_handed_in_does_not_sign(works: SimpleNamespace, sheet: LogSheet, sam: Browser) -> None:
    story.hand_in(works, sheet, by=works.supervisor)
    assert (
        "You handed this sheet in, so another person must sign it."
        in Page(sam.get(url(sheet))).words
    )


def test_a_sheet_that_moved_on_is_shown_anew_instead_of_signed(
    works: SimpleNamespace, sheet: LogSheet, sam: Browser
) -> None:
    story.hand_in(works, sheet)
    seen = form_of(Page(sam.get(url(sheet))), password=factories.PASSWORD)
    story.draw(works, "1310")
    page = Page(sam.post(url(sheet, "sheet-sign"), seen))
    assert page.status == 409
    assert "The sheet changed since you opened it: here it is anew." in page.alerts
    assert "1310" in page.words and not stand_of(sheet).signed


def test_the_second_of_two_signers_sees_the_sheet_anew(
    works: SimpleNamespace, sheet: LogSheet, sam: Browser, cleo: Browser
) -> None:
    story.hand_in(works, sheet)
    both = [form_of(Page(b.get(url(sheet))), password=factories.PASSWORD) for b in (sam, cleo)]
    assert sam.post(url(sheet, "sheet-sign"), both[0]).status_code == 302
    second = Page(cleo.post(url(sheet, "sheet-sign"), both[1]))
    assert second.status == 409 and "Sam Sutter" in second.words
    assert Signature.objects.filter(plant=works.plant, meaning=Meaning.SIGNED).count() == 1


def test_signed_twice_by_one_press_is_signed_once(
    works: SimpleNamespace, sheet: LogSheet, sam: Browser
) -> None:
    story.hand_in(works, sheet)
    sent = form_of(Page(sam.get(url(sheet))), password=factories.PASSWORD)
    for _press in range(2):
        assert sam.post(url(sheet, "sheet-sign"), sent).status_code == 302
    assert Signature.objects.filter(plant=works.plant, meaning=Meaning.SIGNED).count() == 1


def test_a_sheet_is_returned_with_a_comment_that_the_tester_reads(
    works: SimpleNamespace, sheet: LogSheet, sam: Browser, tess: Browser
) -> None:
    story.hand_in(works, sheet)
    empty = press(sam, sheet, "sheet-return", comment=" ")
    assert empty.status == 422 and "has to be put right" in empty.told()["f-comment"]
    long = press(sam, sheet, "sheet-return", comment="x" * 501)
    assert "too long" in long.told()["f-comment"] and long.values["comment"] == "x" * 501
    assert press(sam, sheet, "sheet-return", comment="Which cell was it?").status == 302
    page = Page(tess.get(url(sheet)))
    assert "Returned by Sam Sutter: Which cell was it?" in page.words
    assert url(sheet, "sheet-hand-in") in page.forms()


def test_a_mark_that_is_not_open_any_more_says_why(
    works: SimpleNamespace, sheet: LogSheet, tess: Browser, sam: Browser
) -> None:
    digest = stand_of(sheet).digest
    returned = {"seen": digest, "key": "k1", "comment": "look again"}
    page = Page(sam.post(url(sheet, "sheet-return"), returned))
    assert page.status == 422 and "not handed in as it stands now" in page.words
    story.hand_in(works, sheet)
    again = {"seen": stand_of(sheet).digest, "key": "k2", "pin": factories.PIN}
    page = Page(tess.post(url(sheet, "sheet-hand-in"), again))
    assert page.status == 422 and "already handed in as it stands" in page.words


def amended(works: SimpleNamespace, sheet: LogSheet) -> Amendment:
    story.signed(works, sheet)
    measurement = sheet.measurements.get()
    story.correct(works, measurement, "1410")
    found: Amendment = Amendment.objects.get(plant=works.plant)
    return found


def decision(sheet: LogSheet, browser: Browser, amendment: Amendment, **sent: str) -> Page:
    where = reverse("amendment-sign", args=[sheet.plant_id, amendment.pk])
    return Page(browser.post(where, form_of(Page(browser.get(url(sheet))), **sent)))


def test_a_second_person_signs_an_amendment(
    works: SimpleNamespace, sheet: LogSheet, sam: Browser
) -> None:
    amendment = amended(works, sheet)
    right = {"decision": "accept", "password": factories.PASSWORD}
    assert decision(sheet, sam, amendment, **right).status == 302
    page = Page(sam.get(url(sheet)))
    assert "1410" in page.words and "amended by Tess Tanner" in page.words
    assert "signed by Sam Sutter" in page.words


def test_a_refused_decision_keeps_what_was_typed(
    works: SimpleNamespace, sheet: LogSheet, sam: Browser
) -> None:
    amendment = amended(works, sheet)
    typed = {"decision": "refuse", "comment": "the print-out says otherwise"}
    page = decision(sheet, sam, amendment, password="wrong", **typed)
    field = f"{amendment.pk}-f"
    assert page.status == 422
    assert page.told() == {f"{field}-password": "This is not your password."}
    assert {key: page.values[key] for key in typed} == typed
    silent = decision(sheet, sam, amendment, decision="refuse", password=factories.PASSWORD)
    assert "has to be put right" in silent.told()[f"{field}-comment"]
    done = decision(sheet, sam, amendment, password=factories.PASSWORD, **typed)
    assert done.status == 302
    assert "Sam Sutter (refused)" in Page(sam.get(url(sheet))).words


def test_a_chemist_who_also_tests_cannot_sign_what_they_tested(
    works: SimpleNamespace, sheet: LogSheet, cleo: Browser
) -> None:
    member_of(works.plant, works.people["chemist"], Role.TESTER)
    story.draw(works, "1100", by=works.chemist)
    story.hand_in(works, sheet)
    assert "You tested on this sheet" in Page(cleo.get(url(sheet))).words


def test_what_its_reader_must_see_first_stands_under_its_own_heading(
    works: SimpleNamespace, sheet: LogSheet, tess: Browser
) -> None:
    story.draw(works, "1290")  # near the limit of 1300
    shelf = {**works.used, "meter": story.out_of_service(works)}
    doubtful = factories.conductivity("900", shelf, reasons={"meter": "the other one broke"})
    factories.sample(works.mate, works.point, doubtful)
    basis = {"neutralized": "yes"}  # the limit is for water that was not neutralized
    story.draw(works, "1000", typed=basis)
    story.draw(works, "40", point=works.feed)
    story.correct(works, sheet.measurements.order_by("entered_at")[0], "1510")
    words = Page(tess.get(url(sheet))).words
    told = (
        "Exceptions",
        "Out of range 1 12:00 Boiler 1 Conductivity 1510",
        "In doubt 1",
        "Near a limit 1",
        "Not judged 1",
        "Corrected 1 12:00 Boiler 1 Conductivity 1500 µmho/cm → 1510",
        "Owed to the next shift",
        "Not judged, since no limit is known for: Feedwater, Conductivity.",
        "Boiler 1, Boiler water",
        "Signatures",
    )
    places = [words.index(each) for each in told]
    assert places == sorted(places)


def test_a_late_entry_is_told_first_and_in_its_line(
    works: SimpleNamespace, sheet: LogSheet, tess: Browser
) -> None:
    with story.later(200):
        story.draw(works, "1000", drawn_at=sheet.starts_at + timedelta(hours=1))
    words = Page(tess.get(url(sheet))).words
    assert "Entered late 1 07:00 Boiler 1" in words
    assert words.count("entered late, 15:20") == 2


def test_who_was_alone_hands_in_alone_and_is_countersigned_from_elsewhere(
    works: SimpleNamespace, sheet: LogSheet, tess: Browser, sam: Browser
) -> None:
    sent = {"alone": "on", "comment": "quiet night", "pin": factories.PIN}
    assert press(tess, sheet, "sheet-hand-in", **sent).status == 302
    waiting = Page(sam.get(url(sheet)))
    for told in (
        "Tess Tanner was alone on this shift and handed it in alone.",
        "Handed in, was alone on this shift Tess Tanner",
        "by PIN at Bench",
        "quiet night",
        "Countersign",
    ):
        assert told in waiting.words, told
    assert "Tess Tanner alone" in Page(sam.get(reverse("sheets", args=[works.plant.pk]))).words
    assert press(sam, sheet, "sheet-sign", password=factories.PASSWORD).status == 302
    signed = Page(sam.get(url(sheet))).words
    assert "Signed, countersigned for Tess Tanner, who was alone Sam Sutter" in signed
    assert "by password, away from the plant's terminals" in signed


def test_nobody_is_alone_where_another_drew(
    works: SimpleNamespace, sheet: LogSheet, tess: Browser
) -> None:
    story.draw(works, "1000", by=works.mate)
    page = press(tess, sheet, "sheet-hand-in", alone="on", comment="hm", pin=factories.PIN)
    assert page.status == 422
    assert page.told() == {
        "f-alone": "Milo Mate drew samples on this shift too, so you were not alone."
    }
    assert (page.values["alone"], page.values["comment"]) == ("on", "hm")
    assert not Signature.objects.exists()
