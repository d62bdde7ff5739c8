"""Recorded calls on the modelled disk: files are followed by their numbers, syncs cover what had ended."""

import pytest

from hardship.replay import NotFollowed, Replay, is_about
from hardship.strace_log import calls
from hardship.test_disk import KEEPS_ALL, LOSES_ALL
from hardship.test_strace_log import hexed


def text(name):
    return f'"{hexed(name)}"'


def number(fd, path):
    return f"{fd}<{hexed(path)}>"


def opened(fd, path, flags="O_RDWR|O_CREAT"):
    return f"openat({number('AT_FDCWD', '/')}, {text(path)}, {flags}, 0600) = {number(fd, path)}"


def written(fd, path, data, call="write"):
    return f"{call}({number(fd, path)}, {text(data)}, {len(data)}) = {len(data)}"


def placed(fd, path, data, at):
    return f"pwrite64({number(fd, path)}, {text(data)}, {len(data)}, {at}) = {len(data)}"


def synced(fd, path):
    return f"fsync({number(fd, path)}) = 0"


def replayed(*texts, **options):
    replay = Replay("/r", **options)
    for call in calls(line if line[0].isdigit() else f"1 {line}" for line in texts):
        replay.apply(call)
    return replay.disk


ROOT = [opened(9, "/r", "O_RDONLY|O_CLOEXEC"), synced(9, "/r")]


def test_a_file_written_whole_survives_when_it_and_its_folder_were_synced():
    disk = replayed(
        opened(3, "/r/f.partial"),
        written(3, "/r/f.partial", "da"),
        written(3, "/r/f.partial", "ta"),
        synced(3, "/r/f.partial"),
        f"rename({text('/r/f.partial')}, {text('/r/f')}) = 0",
        *ROOT,
    )
    assert disk.after_cut(LOSES_ALL) == {("f",): b"data"}


def test_without_a_sync_nothing_is_sure_and_with_syncs_ignored_neither():
    work = [opened(3, "/r/f"), written(3, "/r/f", "data")]
    assert replayed(*work).after_cut(LOSES_ALL) == {}
    assert replayed(*work).after_cut(KEEPS_ALL) == {("f",): b"data"}
    assert replayed(*work, synced(3, "/r/f"), *ROOT, ignores_syncs=True).after_cut(LOSES_ALL) == {}


def test_a_sync_covers_what_had_ended_when_it_began():
    disk = replayed(
        opened(3, "/r/f"),
        *ROOT,
        placed(3, "/r/f", "1", 0),
        f"1 fsync({number(3, '/r/f')} <unfinished ...>",
        "2 " + placed(3, "/r/f", "2", 1),
        "1 <... fsync resumed>) = 0",
    )
    assert disk.after_cut(LOSES_ALL) == {("f",): b"1"}
    assert disk.after_cut(KEEPS_ALL) == {("f",): b"12"}


def test_a_file_keeps_its_identity_under_another_name():
    disk = replayed(
        opened(3, "/r/f"),
        f"rename({text('/r/f')}, {text('/r/g')}) = 0",
        written(3, "/r/g", "late"),
        f"unlink({text('/r/g')}) = 0",
        written(3, "/r/g (deleted)", "r"),
        opened(4, "/r/g"),
        written(4, "/r/g", "another"),
    )
    assert disk.after_cut(KEEPS_ALL) == {("g",): b"another"}


def test_a_number_that_another_thread_was_given_while_it_was_being_closed_is_the_new_files():
    told_late = [
        f"1 close({number(3, '/r/old')} <unfinished ...>",
        f"2 {opened(3, '/r/new')}",
        "1 <... close resumed>) = 0",
    ]
    new = [written(3, "/r/new", "data"), synced(3, "/r/new"), *ROOT]
    disk = replayed(opened(3, "/r/old"), *told_late, *new)
    assert disk.after_cut(LOSES_ALL) == {("old",): b"", ("new",): b"data"}
    # one that is closed afterwards is closed
    with pytest.raises(NotFollowed):
        replayed(opened(3, "/r/old"), *told_late, f"close({number(3, '/r/new')}) = 0", synced(3, "/r/new"))


def test_positions_move_with_writes_seeks_and_copies():
    disk = replayed(
        opened(3, "/r/f"),
        written(3, "/r/f", "abcd"),
        f"lseek({number(3, '/r/f')}, 1, SEEK_SET) = 1",
        opened(4, "/r/g"),
        f"copy_file_range({number(3, '/r/f')}, NULL, {number(4, '/r/g')}, NULL, 1073741824, 0) = 3",
        f"lseek({number(3, '/r/f')}, 0, SEEK_SET) = 0",
        written(3, "/r/f", "X"),
        f"ftruncate({number(3, '/r/f')}, 2) = 0",
    )
    assert disk.after_cut(KEEPS_ALL) == {("f",): b"Xb", ("g",): b"bcd"}


def test_opening_with_truncation_empties_a_file():
    work = [opened(3, "/r/f"), written(3, "/r/f", "old"), synced(3, "/r/f"), *ROOT]
    disk = replayed(*work, opened(4, "/r/f", "O_WRONLY|O_CREAT|O_TRUNC"))
    assert disk.after_cut(LOSES_ALL) == {("f",): b"old"}
    assert disk.after_cut(KEEPS_ALL) == {("f",): b""}


def test_what_failed_or_lies_outside_changes_nothing():
    disk = replayed(
        f"mkdir({text('/r/d')}, 0700) = -1 ENOSPC (No space left on device) (INJECTED)",
        f"mkdir({text('/elsewhere')}, 0700) = 0",
        opened(3, "/elsewhere/f"),
        written(3, "/elsewhere/f", "x"),
        f"close({number(3, '/elsewhere/f')}) = 0",
    )
    assert disk.after_cut(KEEPS_ALL) == {}


def test_memory_that_is_shared_with_a_file_makes_it_unknown():
    shared = f"mmap(NULL, 32768, PROT_READ|PROT_WRITE, MAP_SHARED, {number(3, '/r/f')}, 0) = 0x7f0000000000"
    assert replayed(opened(3, "/r/f"), shared).find(("f",)).is_mapped
    assert not replayed(opened(3, "/r/f"), shared.replace("SHARED", "PRIVATE")).find(("f",)).is_mapped


@pytest.mark.parametrize(
    "unknown",
    [
        written(7, "/r/f", "x"),
        f"fallocate({number(3, '/r/f')}, 0, 0, 4096) = 0",
        f"rename({text('/r/f')}, {text('/elsewhere/f')}) = 0",
        opened(5, "/r/never-made", "O_RDONLY"),
        f"copy_file_range({number(8, '/elsewhere/f')}, NULL, {number(3, '/r/f')}, NULL, 9, 0) = 9",
    ],
    ids=["never opened", "not known", "out of the root", "never made", "from outside"],
)
def test_what_cannot_be_followed_is_an_error(unknown):
    with pytest.raises(NotFollowed):
        replayed(opened(3, "/r/f"), unknown)


def test_lines_that_matter_are_those_of_the_root_closes_and_promises():
    assert is_about("/r", f"unlink({text('/r/f')})")
    assert is_about("/r", "close(3<>)") and is_about("/r", "write(1<>, ") and is_about("/r", "dup2(3<>, 4)")
    assert not is_about("/r", written(4, "/elsewhere", "x"))
