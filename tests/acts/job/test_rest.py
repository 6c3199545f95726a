import pytest

from knowngood.acts.job.rest import before_leaving

JACK = "Lower the front to the ground, or set it on two stands: a jack alone must not hold it."
FOOT = "Set the parking brake and chock the wheels, then take the foot off the brake."


# That nobody leaves a vehicle on a jack alone, or an engine running: common practice, no source.
@pytest.mark.parametrize(
    ("facts", "first"),
    [
        ([], []),
        (["parked", "off(pan)", "drained(coolant)"], []),
        (["raised(front)"], [JACK]),
        (["raised(front)", "on_stands(front)"], []),
        (["raised(front)", "on_ramps(front)"], []),
        (["raised(front)", "raised(rear)", "on_stands(rear)"], [JACK]),
        (["running(engine)"], ["Switch the engine off."]),
        (["brake_held", "raised(front)"], [FOOT, JACK]),
    ],
)
def test_what_comes_before_walking_away(facts, first):
    assert before_leaving(facts) == first
