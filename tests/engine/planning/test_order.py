import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowngood.engine.planning.order import Action, missing, replay, valid_order

FACTS = ("a", "b", "c", "d")
SOME = st.lists(st.sampled_from(FACTS), max_size=2, unique=True).map(tuple)
NEEDED = st.lists(st.sampled_from((*FACTS, *(f"not {one}" for one in FACTS))), max_size=2, unique=True).map(tuple)


@st.composite
def jobs(draw):
    count = draw(st.integers(0, 7))
    ids = [f"s{number}" for number in range(count)]
    after = st.lists(st.sampled_from(ids), max_size=2, unique=True).map(tuple) if ids else st.just(())
    return [Action(one, draw(NEEDED), draw(SOME), draw(SOME), draw(after)) for one in ids]


@given(jobs(), st.sets(st.sampled_from(FACTS)))
def test_in_any_order_returned_every_need_holds_when_its_step_comes(actions, start):
    by_id, facts, done = {one.id: one for one in actions}, frozenset(start), []
    for step in valid_order(actions, start).ids:
        assert missing(by_id[step], facts, done) == ()
        facts = replay(facts, [by_id[step]])
        done.append(step)


@given(jobs(), st.sets(st.sampled_from(FACTS)))
def test_each_step_is_either_reached_once_or_stuck(actions, start):
    found = valid_order(actions, start)
    assert sorted((*found.ids, *found.stuck)) == [one.id for one in actions]


@given(jobs(), st.sets(st.sampled_from(FACTS)))
def test_stuck_steps_are_not_ready_at_the_end(actions, start):
    found = valid_order(actions, start)
    by_id = {one.id: one for one in actions}
    facts = replay(start, (by_id[step] for step in found.ids))
    assert all(missing(by_id[step], facts, found.ids) for step in found.stuck)


@given(jobs(), st.sets(st.sampled_from(FACTS)))
def test_a_well_written_order_is_returned_unchanged(actions, start):
    by_id = {one.id: one for one in actions}
    well = [by_id[step] for step in valid_order(actions, start).ids]
    assert valid_order(well, start).ids == tuple(one.id for one in well)


def test_what_a_step_ends_and_makes_again_holds_after_it():
    assert replay(["a"], [Action("turn", makes=("a",), ends=("a",))]) == {"a"}


@pytest.mark.parametrize(
    ("needs", "after", "found"),
    [
        (("a",), (), ()),
        (("b",), (), ("b",)),
        (("not a",), (), ("not a",)),
        (("not b",), (), ()),
        ((), ("lift",), ("step lift",)),
        ((), ("done",), ()),
    ],
)
def test_what_keeps_a_step_from_being_next(needs, after, found):
    assert missing(Action("one", needs, after=after), {"a"}, ["done"]) == found


def test_steps_that_wait_for_each_other_are_stuck_in_written_order():
    found = valid_order([Action("one", after=("two",)), Action("free"), Action("two", after=("one",))], [])
    assert (found.ids, found.stuck) == (("free",), ("one", "two"))
