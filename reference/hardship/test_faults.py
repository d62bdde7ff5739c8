"""The faults: what strace is told, which paths they are limited to, and which ends of a job are accepted."""

import pytest

from hardship.fault import CALLS, ERRORS, Ended, Fault, most_calls, paths_of
from hardship.faults import Faults, sample
from hardship.recording import Promise, Recording
from hardship.strace_log import calls
from hardship.test_replay import opened, placed, synced, text

LINES = [
    "1 " + opened(3, "/r/data/f"),
    "1 " + placed(3, "/r/data/f", "x", 0),
    "1 " + placed(3, "/r/data/f", "y", 1),
    "2 " + placed(3, "/r/data/f", "z", 2),
    "2 " + synced(9, "/r"),
    f"2 rename({text('/r/data/f')}, {text('/r/data/g')}) = 0",
    f"1 write(1<>, {text('said')}, 4) = 4",
]
RECORDING = Recording("/r", list(calls(LINES)), [Promise("opened", "", "s0"), Promise("saved", "a", "s1")], [1, 2])


def test_strace_is_told_the_call_the_error_and_from_when_on():
    assert Fault("fsync", "EIO", 3, False).for_strace() == "inject=fsync:error=EIO:when=3"
    assert Fault("rename", "ENOSPC", 1, True).for_strace() == "inject=rename:error=ENOSPC:when=1+"


def test_faults_are_limited_to_paths_the_job_touched_below_its_root():
    assert paths_of(RECORDING) == ["", "data/f", "data/g"]


def test_calls_are_counted_in_the_thread_that_does_most():
    assert most_calls(RECORDING) == {"openat": 1, "pwrite64": 2, "fsync": 1, "rename": 1}


def test_the_sample_takes_every_kind_in_turn_within_reach_and_is_the_same_again():
    most = dict.fromkeys(CALLS, 7)
    drawn = list(sample(2 * 2 * len(CALLS), 1, most))
    assert {(fault.call, fault.error, fault.is_for_ever) for fault in drawn} == {
        (call, error, ever) for call in CALLS for error in ERRORS for ever in (False, True)
    }
    assert {fault.nth for fault in drawn} <= set(range(1, 8))
    assert drawn == list(sample(2 * 2 * len(CALLS), 1, most))


def test_a_call_the_job_never_does_is_not_drawn():
    drawn = list(sample(20, 1, {"fsync": 3, "openat": 2}))
    assert {fault.call for fault in drawn} == {"fsync", "openat"}


WELL = Ended(0, ["opened s0", "saved 0 a s1"], "", 1)
REPORTED = Ended(3, ["opened s0"], "step 0: the disk is full\nstep 0 again: the disk is full\n", 2)


@pytest.mark.parametrize("ended", [WELL, REPORTED])
def test_a_job_may_end_well_or_say_why_not(ended):
    assert Faults(None, "work", 1, RECORDING).of_the_end(ended) == ""


@pytest.mark.parametrize(
    "ended",
    [
        Ended(101, [], "thread 'main' panicked", 1),
        Ended(-11, [], "", 1),
        Ended(0, ["opened s0", "saved 0 a s1"], "thread 'writer' panicked", 1),
        Ended(3, ["opened s0"], "", 1),
        Ended(3, ["opened s0"], "step 0 again: the disk is full", 0),
        Ended(0, ["opened s0"], "", 1),
    ],
    ids=["panic", "signal", "panic beside", "no reason", "no fault", "not finished"],
)
def test_any_other_end_is_not_accepted(ended):
    assert Faults(None, "work", 1, RECORDING).of_the_end(ended)
