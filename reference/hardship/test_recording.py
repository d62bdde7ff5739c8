"""What the job promised, and when: a promise counts from the call that said it."""

from hardship.recording import Promise, recording_of
from hardship.strace_log import calls
from hardship.test_replay import ROOT, opened, written
from hardship.test_strace_log import hexed

SAID = ["opened s0\n", "saved 0 a s1\n", "restoring day.db\n"]


def recording():
    lines = [*ROOT, *(f'write(1<{hexed("pipe:[9]")}>, "{hexed(line)}", {len(line)}) = {len(line)}' for line in SAID)]
    lines[3:3] = [opened(3, "/r/f"), written(3, "/r/f", "x")]
    return recording_of("/r", list(calls(f"1 {line}" for line in lines)))


def test_promises_are_read_in_order_with_the_calls_before_them():
    found = recording()
    assert found.promises == [Promise("opened", "", "s0"), Promise("saved", "a", "s1"), Promise("restoring", "day.db", "")]
    assert found.made_at == [3, 6, 7]


def test_only_what_was_said_by_then_was_promised():
    found = recording()
    assert [len(found.promised_by(count)) for count in (0, 2, 3, 5, 6, 7)] == [0, 0, 1, 1, 2, 3]
    assert found.said_at("restoring") == 7
