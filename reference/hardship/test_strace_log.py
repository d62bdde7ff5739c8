"""The reader of strace's log, on lines written by hand in strace's form."""

import pytest

from hardship.strace_log import Unreadable, calls, descriptor, text_of, texts_of


def hexed(text):
    return "".join(f"\\x{byte:02x}" for byte in text.encode())


def test_a_call_is_read_with_its_arguments_and_result():
    line = f'77 pwrite64(12<{hexed("/d/f")}>, "{hexed("a, b) = 3")}", 9, 4096) = 9\n'
    (call,) = calls([line])
    assert (call.name, call.result, call.thread, call.is_injected) == ("pwrite64", 9, 77, False)
    assert descriptor(call.arguments[0]) == (12, "/d/f")
    assert text_of(call.arguments[1]) == b"a, b) = 3"
    assert call.arguments[2:] == ("9", "4096")


def test_a_call_that_was_interrupted_is_put_together_and_counts_when_it_ends():
    lines = [
        f'1 fsync(3<{hexed("/d/f")}> <unfinished ...>\n',
        f'2 write(4<{hexed("/d/g")}>, "{hexed("x")}", 1) = 1\n',
        "1 <... fsync resumed>)              = 0\n",
    ]
    write, fsync = calls(lines)
    assert (write.name, write.began, write.ended) == ("write", 1, 1)
    assert (fsync.name, fsync.began, fsync.ended, fsync.result) == ("fsync", 0, 2, 0)


def test_both_halves_of_a_call_are_wanted_or_none():
    lines = ["1 fsync(3<> <unfinished ...>\n", "1 <... fsync resumed>) = 0\n", "1 close(3) = 0\n"]
    assert [call.name for call in calls(lines, lambda line: "close" in line)] == ["close"]


def test_failed_and_injected_calls_are_told_apart():
    failed, injected, cut_off = calls(
        [
            f'1 mkdir("{hexed("/d")}", 0700) = -1 EEXIST (File exists)\n',
            f'1 fsync(3<{hexed("/d")}>) = -1 EIO (Input/output error) (INJECTED)\n',
            "1 close(3) = ?\n",
        ]
    )
    assert failed.has_failed and not failed.is_injected
    assert injected.has_failed and injected.is_injected
    assert cut_off.has_failed, "nobody knows whether it was done"


def test_a_scattered_write_is_one_text():
    line = f'1 writev(5<{hexed("/d/f")}>, [{{iov_base="{hexed("ab")}", iov_len=2}}, {{iov_base="{hexed("c")}", iov_len=1}}], 2) = 3\n'
    (call,) = calls([line])
    assert len(call.arguments) == 3
    assert texts_of(call.arguments[1]) == b"abc"


def test_threads_that_end_are_no_calls():
    assert not list(calls(["1 +++ exited with 0 +++\n", "2 --- SIGCHLD {si_signo=SIGCHLD} ---\n"]))


@pytest.mark.parametrize(
    "line",
    ["no line of strace\n", "1 fsync(3\n", "1 <... fsync resumed>) = 0\n"],
    ids=["no number", "no end", "never began"],
)
def test_what_cannot_be_read_is_an_error(line):
    with pytest.raises(Unreadable):
        list(calls([line]))


@pytest.mark.parametrize("text", ['"\\x61"...', '"plain"', "NULL", '"\\x6"'])
def test_a_text_that_is_cut_short_or_not_in_hexadecimal_is_an_error(text):
    with pytest.raises(Unreadable):
        text_of(text)
