"""The verdict: each way in which a studio can be hurt is seen, and one that is whole is let be."""

import pytest

from hardship.recording import JobFailed, Promise, promise_of
from hardship.verdict import judge

EVERY = [
    Promise("opened", "", "s0"),
    Promise("saved", "a", "s1"),
    Promise("saved", "b", "s2"),
    Promise("copied", "day.db", "s2"),
    Promise("saved", "c", "s3"),
]


def found(acts="ab", state="s2", copies=(("day.db", "s2"),), again=None, **other):
    acts = list(acts)
    return {
        "faults": [],
        "missing_photos": [],
        "wrong_photos": [],
        "acts": acts,
        "state": state,
        "copies": [{"name": name, "state": held} for name, held in copies],
        "sent_again": {"is_unchanged": True, "acts": list(again or acts + ["next"])},
        **other,
    }


@pytest.mark.parametrize(
    "left",
    [found(), found("abc", "s3"), found(copies=[("day.db", "s2"), ("again.db", "s1")])],
    ids=["what was promised", "one more, done and not yet said", "a copy made anew after an error"],
)
def test_a_studio_that_is_whole_is_let_be(left):
    assert not judge(EVERY, EVERY[:4], left).is_hurt


def test_a_job_that_knows_no_states_is_held_to_its_acts_alone():
    careless = [Promise("opened", "", "-"), Promise("saved", "a", "-"), Promise("saved", "b", "-")]
    for acts in ("", "a", "ab"):
        assert not judge(careless, careless[: len(acts) + 1], found(acts, "any", copies=(), sent_again=None)).is_hurt
    assert judge(careless, careless, found("a", "any", copies=(), sent_again=None)).lost == ["b"]


def test_a_job_that_never_said_that_it_opened_cannot_be_judged():
    with pytest.raises(ValueError):
        judge(EVERY[1:], [], found("abc", "s3"))


def test_before_any_promise_there_may_be_nothing():
    assert not judge(EVERY, [], found("", "s0", copies=(), sent_again=None)).is_hurt


@pytest.mark.parametrize(
    ("left", "kind"),
    [
        ({"error": "is damaged"}, "damaged"),
        ({"error": "is damaged"}, "lost"),
        (found("a", "s1"), "lost"),
        (found("", "s0"), "lost"),
        (found("abb", "s3"), "doubled"),
        (found("b", "s2"), "damaged"),
        (found("ba", "s2"), "damaged"),
        (found(state="s1"), "damaged"),
        (found(faults=["a page"]), "damaged"),
        (found(missing_photos=["p"]), "damaged"),
        (found(wrong_photos=["p"]), "damaged"),
        (found(copies=()), "lost"),
        (found(copies=[("day.db", "s1")]), "damaged"),
        (found(copies=[("day.db", "s2"), ("other.db", "never")]), "damaged"),
        (found(copies=[("day.db", "s2")]) | {"copies": [{"name": "day.db", "error": "torn"}]}, "damaged"),
        (found(sent_again={"is_unchanged": False, "acts": ["a", "b", "c"]}), "doubled"),
        (found(again="abb"), "doubled"),
        (found(again="ab"), "damaged"),
        (found(again="ac"), "damaged"),
    ],
)
def test_what_is_hurt_is_seen(left, kind):
    verdict = judge(EVERY, EVERY[:4], left)
    assert getattr(verdict, kind), verdict
    assert verdict.is_hurt and kind in verdict.words()


def test_a_promise_is_read_and_nothing_else():
    assert promise_of("saved 3 id state") == Promise("saved", "id", "state")
    assert promise_of("opened state") == Promise("opened", "", "state")
    for line in ("", "saved 3 id", "warned 3 id state", "opened"):
        with pytest.raises(JobFailed):
            promise_of(line)


RESTORED = EVERY + [Promise("restoring", "day.db", ""), Promise("restored", "day.db", "s2")]


@pytest.mark.parametrize(
    "left",
    [found("abc", "s3", set_aside=[]), found("ab", "s2", set_aside=["s3"])],
    ids=["still the old", "already the copy"],
)
def test_while_a_copy_is_brought_back_the_studio_is_either(left):
    assert not judge(RESTORED, RESTORED[:6], left).is_hurt


def test_afterwards_it_is_the_copy_and_the_old_one_lies_aside():
    assert not judge(RESTORED, RESTORED, found("ab", "s2", set_aside=["s3"])).is_hurt


def test_a_restore_sent_again_after_it_was_done_sets_the_copys_studio_aside_too():
    assert not judge(RESTORED, RESTORED, found("ab", "s2", set_aside=["s2", "s3"])).is_hurt


@pytest.mark.parametrize("said", [6, 7], ids=["restoring", "restored"])
@pytest.mark.parametrize(
    "left",
    [
        found("ab", "s2", set_aside=[]),
        found("ab", "s2", set_aside=["s2"]),
        found("ab", "s2", set_aside=["s1", "s3"]),
        found("a", "s1", set_aside=["s3"]),
        found("", "s0", set_aside=["s3"]),
        found("ab", "s2", set_aside=["s3"], missing_photos=["p"]),
        {"error": "was cut off"},
    ],
    ids=["old one gone", "old one written over", "another beside it", "an act missing", "empty", "a photo missing", "does not open"],
)
def test_what_a_restore_hurts_is_seen(left, said):
    assert judge(RESTORED, RESTORED[:said], left).is_hurt


def test_a_restore_that_was_told_as_done_is_not_cut_off_afterwards():
    left = found("ab", "s2", set_aside=["s3"], was_cut_off=True)
    assert not judge(RESTORED, RESTORED[:6], left).is_hurt
    assert judge(RESTORED, RESTORED, left).is_hurt


def test_the_old_one_may_not_stand_there_once_the_copy_was_told():
    assert judge(RESTORED, RESTORED, found("abc", "s3", set_aside=[])).is_hurt
