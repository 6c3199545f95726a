"""The step that fills names one amount; what nobody wrote down is said on Fluids, with its field."""

import html

from tests.garages import giving


def test_the_demos_step_names_one_amount_and_fluids_has_the_field(home, computer):
    give = giving(home.garage, "job/runs-hot")
    read = {"coil": "101.1 ohm", "heater": "15.9 ohm"}
    while (step := home.garage.job("runs-hot").run.now).id != "refill":
        for limit in step.read:
            give("reading_judged", limit=limit, read=read.get(limit, "15.9 ohm"), zero="0.4 ohm", step=step.id)
        give("step_done", step=step.id, choice="yes", **({"amount": "4 L"} if step.drain else {}))
    text = html.unescape(computer.get("/job/runs-hot/now").text).partition("<template")[0]
    assert "pour in 4.58 L, as much as is gone" in text
    assert "6.2 L" not in text
    give("step_done", step="refill")
    fluids = html.unescape(computer.get("/job/runs-hot/fluids").text)
    assert "You did not write down how much went in" in fluids
    assert 'name="step" value="refill"' in fluids
