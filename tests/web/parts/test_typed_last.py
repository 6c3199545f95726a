"""Judged within a job: every remedy leads to a field of the reading that it is about, and what was typed stays."""

import re

import pytest
from tests.garages import giving, go_on_all_the_same

SHEET = """sheet: 1
id: two
title: "Two windings"
limits:
  left: {name: "left coil", band: "80..95 ohm", conductor: copper, decides: "renew it"}
  right: {name: "right coil", band: "80..95 ohm", conductor: copper, decides: "renew it"}
steps:
  - {id: measure, do: "Measure both", zone: top, time: "1 2 3 min", read: [left, right]}
"""


@pytest.fixture
def give(home):
    give = giving(home.garage, "job/two")
    give("vehicle_named", "vehicle/own", name="Own")
    give("job_opened", vehicle="own", sheet=SHEET)
    go_on_all_the_same(home.garage, give, "two")
    give("started")
    return give


def verdicts(text):
    """Each verdict of a page, as markup."""
    return re.findall(r'<article class="judged.*?</article>', text, re.DOTALL)


def forms(text):
    """Each form that judges, by its id: the limit, and what stands in its fields."""
    found = {}
    for form_id, inside in re.findall(r'<form class="event" id="f-(\w+)"(.*?)</form>', text, re.DOTALL):
        if limit := re.search(r'name="limit" value="(\w+)"', inside):
            found[form_id] = limit[1], dict(re.findall(r'<input id="[^"]+" name="(\w+)" value="([^"]*)"', inside))
    return found


@pytest.mark.parametrize("page", ["now", "readings"])
def test_of_two_readings_each_remedy_leads_to_its_own_form_with_what_was_typed(computer, give, page):
    typed = {"left": ("94 ohm", "0.4 ohm"), "right": ("96 ohm", "0.3 ohm")}
    for limit, (ohm, zero) in typed.items():
        give("reading_judged", limit=limit, read=ohm, zero=zero, part="48 ± 4 °C", step="measure")
    text = computer.get(f"/job/two/{page}").text.partition("<template")[0]
    known = forms(text)
    assert len(verdicts(text)) == 2
    for shown in verdicts(text):
        limit = "left" if "left coil" in shown else "right"
        links = re.findall(r'<a href="#([0-9a-f]{32})-(\w+)"', shown)
        assert "zero" in {name for _, name in links}
        assert {known[form_id][0] for form_id, _ in links} == {limit}
        values = known[links[0][0]][1]
        assert (values["read"], values["zero"]) == tuple(words.removesuffix(" ohm") for words in typed[limit])
        assert (values["part"], values["part_give"]) == ("48", "4")


def test_while_one_of_two_is_still_to_be_read_the_other_can_be_read_again(computer, give):
    give("reading_judged", limit="left", read="94 ohm", step="measure")
    text = computer.get("/job/two/now").text.partition("<template")[0]
    assert "<summary>Read left coil again</summary>" in text
    assert [limit for limit, _ in forms(text).values()] == ["right", "left"]
