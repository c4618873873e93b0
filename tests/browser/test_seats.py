"""Seats that come and go, on the page."""

from playwright.sync_api import expect

from tests.browser import scene
from tests.browser.conftest import Open
from tests.browser.stand_in import StandIn, eventually


def test_a_chanter_that_is_plugged_in_offers_itself(stand_in: StandIn, open_page: Open) -> None:
    """In the set-up, one press away from a seat of its own; then it is offered no more, and a seat can be removed."""
    page = open_page()
    page.locator("#setup-open").click()
    expect(page.locator("#offers-part")).to_be_hidden()
    free = {"name": "Kitchen chanter 24:0", "said": "MIDI port, by ALSA"}
    stand_in.send({"kind": "offer", "offers": [free]})
    expect(page.locator("#offers-said")).to_have_text("One MIDI port has no seat yet.")
    page.get_by_role("button", name="Add a seat for Kitchen chanter 24:0").click()
    eventually(stand_in, lambda asked: ("POST", "seats", {"input": "Kitchen chanter 24:0"}) in asked)
    other = {**scene.seat(), "seat": "two", "name": "Bram", "player": {"number": 2, "name": "Bram"}}
    stand_in.send({"kind": "seats", "seats": [scene.seat(), other]})
    stand_in.send({"kind": "offer", "offers": []})
    expect(page.locator("#offers-said")).to_have_text("Every chanter that is plugged in has a seat.")
    page.get_by_role("button", name="Remove seat one").click()
    expect(page.locator("#setup-refused")).to_be_hidden()
    eventually(stand_in, lambda asked: any(one[:2] == ("DELETE", "seats/one") for one in asked))
    stand_in.send({"kind": "seats", "seats": [other]})
    expect(page.locator("#offers-part")).to_be_hidden()
    page.locator("#setup-close").click()
    expect(page.locator("#players-open")).to_contain_text("Bram")
