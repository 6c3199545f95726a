"""What travels packed, and what is packed already."""

import pytest


@pytest.mark.parametrize("path", ["/job/runs-hot/now", "/static/look.css", "/static/now.js", "/job/runs-hot/run.json"])
def test_words_travel_packed(computer, path):
    answer = computer.get(path, headers={"accept-encoding": "gzip"})
    assert answer.headers["content-encoding"] == "gzip"
    assert "accept-encoding" in answer.headers["vary"].lower()


def test_a_typeface_travels_as_it_is(computer):
    answer = computer.get("/static/atkinson-hyperlegible-next.woff2", headers={"accept-encoding": "gzip"})
    assert "content-encoding" not in answer.headers


def test_who_takes_no_packed_answer_gets_a_plain_one(computer):
    answer = computer.get("/job/runs-hot/now", headers={"accept-encoding": "identity"})
    assert "content-encoding" not in answer.headers
    assert "Measure the coil" in answer.text
