"""A number and its unit stay on one line, in what is read and nowhere else."""

import pytest

from knowngood.web.server.unbroken import NO_BREAK, unbroken


@pytest.fixture
def plain_spaces():
    """None here: pages are looked at as they are served."""


@pytest.mark.parametrize(
    ("page", "bound"),
    [
        ("<p>80–95 ohm at 20 °C</p>", "<p>80–95~ohm at 20~°C</p>"),
        ("<p>148 300 km, 8 N·m ± 1</p>", "<p>148~300~km, 8~N·m ±~1</p>"),
        ("<p>97 % of 3 litres, 2 L/h</p>", "<p>97~% of 3 litres, 2 L/h</p>"),
        ("<p>100 101 102 ohm</p>", "<p>100 101 102~ohm</p>"),
        ('<input value="4.5 L"><textarea>5 L</textarea>', '<input value="4.5 L"><textarea>5 L</textarea>'),
        ('<script type="application/json">{"wait": "5 min"}</script>', None),
        ("<button>0.4 ohm <small>last</small></button>", None),
    ],
)
def test_only_what_is_read_is_bound(page, bound):
    assert unbroken(page) == (bound or page).replace("~", NO_BREAK)


def test_served_pages_bind_a_number_to_its_unit(computer):
    page = computer.get("/job/runs-hot/fluids").text
    assert f"4.7{NO_BREAK}L at hand" in page
    assert "4.7 L" not in page
