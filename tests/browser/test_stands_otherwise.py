"""A phone whose vehicle was put otherwise by another job while it was cut off: nothing is lost, one tap settles it."""

import pytest
from tests.acts.job.test_standing import LIFT, ON_STANDS, Yard

pytestmark = pytest.mark.browser


def test_a_done_sent_later_comes_back_in_words_with_the_tap(own_garage, own_server, phone):
    yard = Yard(own_garage)
    yard.begin("one", LIFT, "up", "stands", "shake")
    phone.goto(own_server + "/job/one/now")
    phone.context.set_offline(True)
    phone.get_by_role("button", name="Done", exact=True).tap()
    phone.get_by_role("heading", name="Lower it", exact=True).wait_for()
    yard.begin("two", ON_STANDS, "lower")
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    stop = phone.locator("#against article.is-stop:visible")
    stop.get_by_text("No longer so: front on two stands").wait_for()
    phone.locator("#step .error.whole", has_text="The vehicle stands otherwise.").wait_for()
    assert phone.locator("#step h1").inner_text() == "Look underneath"
    stop.get_by_role("button", name="So again: front on two stands").tap()
    stop.wait_for(state="detached")
    phone.get_by_role("button", name="Done", exact=True).tap()
    phone.get_by_role("heading", name="Lower it", exact=True).wait_for()
    phone.locator("#waiting").wait_for(state="hidden")
    assert [event.data["step"] for event in own_garage.job("one").state.done] == ["up", "stands", "shake", "look"]


def test_a_phone_that_is_cut_off_shows_the_stop_at_its_step_and_takes_the_tap(own_garage, own_server, phone):
    yard = Yard(own_garage)
    yard.begin("one", LIFT, "up", "stands")
    yard.begin("two", ON_STANDS, "lower")
    phone.goto(own_server + "/job/one/now")
    phone.context.set_offline(True)
    stop = phone.locator("#against article.is-stop:visible")
    stop.get_by_role("button", name="It is on its wheels again").tap()
    phone.get_by_role("heading", name="Lift the front", exact=True).wait_for()
    assert stop.count() == 0
    phone.context.set_offline(False)
    phone.evaluate("dispatchEvent(new Event('online'))")
    phone.locator("#waiting").wait_for(state="hidden")
    assert own_garage.job("one").run.now.id == "up"
