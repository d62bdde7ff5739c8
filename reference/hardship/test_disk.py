"""The modelled disk: what a cut may take and what it may not, on cases small enough to list by hand."""

import pytest

from hardship.disk import SECTOR, Disk, File, Folder
from hardship.fate import Fate


class Everything:
    """A fate that keeps all or nothing."""

    def __init__(self, keeps_bytes, keeps_names):
        self.keeps_bytes, self.keeps_names = keeps_bytes, keeps_names

    def keeps(self):
        return self.keeps_bytes

    def keeps_change(self, _):
        return self.keeps_names

    def of_write(self, offset, data):
        return [(offset, data)] if self.keeps_bytes else []


LOSES_ALL, KEEPS_ALL = Everything(False, False), Everything(True, True)


def outcomes(disk, count=400):
    """Every distinct disk that chance leaves, as sorted tuples."""
    return {tuple(sorted(disk.after_cut(Fate(seed)).items())) for seed in range(count)}


def disk_with(*names):
    """A disk with synced, empty files."""
    disk = Disk()
    for name in names:
        disk.enter((name,), File())
    disk.root.sync(disk.tick())
    return disk


def written(disk, name, data, offset=0):
    disk.find((name,)).write(disk.tick(), offset, data)


def test_a_file_needs_its_bytes_and_its_name_synced():
    disk = Disk()
    disk.enter(("f",), File())
    written(disk, "f", b"data")
    assert disk.after_cut(LOSES_ALL) == {}
    disk.find(("f",)).sync(disk.tick())
    assert disk.after_cut(LOSES_ALL) == {}, "syncing a file does not keep its name"
    disk.root.sync(disk.tick())
    assert disk.after_cut(LOSES_ALL) == {("f",): b"data"}


def test_what_is_written_during_or_after_a_sync_is_not_covered():
    disk = disk_with("f")
    written(disk, "f", b"1")
    began = disk.time + 1
    written(disk, "f", b"2", offset=1)
    disk.find(("f",)).sync(began)
    written(disk, "f", b"3", offset=2)
    assert disk.after_cut(LOSES_ALL) == {("f",): b"1"}
    assert disk.after_cut(KEEPS_ALL) == {("f",): b"123"}


def test_writes_that_were_not_synced_are_kept_in_any_combination():
    disk = disk_with("f")
    written(disk, "f", b"a")
    written(disk, "f", b"b", offset=1)
    found = {dict(outcome)[("f",)] for outcome in outcomes(disk)}
    assert found == {b"", b"a", b"\0b", b"ab"}


def test_a_write_is_torn_at_the_sectors_of_the_file():
    disk = disk_with("f")
    # begins 12 bytes before the end of a sector: pieces of 12, 512 and 488 bytes
    written(disk, "f", b"x" * 1012, offset=SECTOR - 12)
    pieces = set()
    for outcome in outcomes(disk):
        left = dict(outcome)[("f",)].ljust(2 * SECTOR + 488, b"\0")
        parts = (left[500:512], left[512:1024], left[1024:])
        assert all(part in (bytes(len(part)), b"x" * len(part)) for part in parts), "torn elsewhere"
        pieces.add(tuple(part[0] > 0 for part in parts))
    assert len(pieces) == 8, "every combination of the three is met"


def test_a_cut_to_a_length_is_lost_or_kept():
    disk = disk_with("f")
    written(disk, "f", b"abcd")
    disk.find(("f",)).sync(disk.tick())
    disk.find(("f",)).truncate(disk.tick(), 1)
    assert {dict(outcome)[("f",)] for outcome in outcomes(disk)} == {b"abcd", b"a"}
    disk.find(("f",)).sync(disk.tick())
    assert disk.after_cut(LOSES_ALL) == {("f",): b"a"}


def test_a_removal_is_undone_until_the_folder_is_synced():
    disk = disk_with("f")
    disk.remove(("f",))
    assert disk.find(("f",)) is None
    assert outcomes(disk) == {(), ((("f",), b""),)}
    disk.root.sync(disk.tick())
    assert outcomes(disk) == {()}


def test_a_rename_in_a_folder_happens_whole_or_not():
    disk = disk_with("new", "old")
    written(disk, "new", b"new")
    disk.find(("new",)).sync(disk.tick())
    disk.rename(("new",), ("old",))
    before, after = {("new",): b"new", ("old",): b""}, {("old",): b"new"}
    assert outcomes(disk) == {tuple(sorted(before.items())), tuple(sorted(after.items()))}
    disk.root.sync(disk.tick())
    assert disk.after_cut(LOSES_ALL) == after


def test_a_rename_into_another_folder_never_loses_the_file():
    disk = disk_with("f")
    disk.enter(("d",), Folder())
    disk.root.sync(disk.tick())
    disk.rename(("f",), ("d", "f"))
    places = {frozenset(path for path, content in outcome if content is not None) for outcome in outcomes(disk)}
    assert places == {frozenset({("f",)}), frozenset({("f",), ("d", "f")}), frozenset({("d", "f")})}
    # the old name cannot be gone for good without the new one
    disk.root.sync(disk.tick())
    assert disk.after_cut(LOSES_ALL) == {("d",): None, ("d", "f"): b""}


def test_what_lies_in_a_folder_goes_with_its_name():
    disk = Disk()
    disk.enter(("d",), Folder())
    disk.enter(("d", "f"), File())
    disk.find(("d",)).sync(disk.tick())
    assert disk.after_cut(LOSES_ALL) == {}
    disk.root.sync(disk.tick())
    assert disk.after_cut(LOSES_ALL) == {("d",): None, ("d", "f"): b""}


def test_a_file_has_one_content_under_both_its_names():
    disk = disk_with("one")
    disk.enter(("two",), disk.find(("one",)))
    disk.root.sync(disk.tick())
    for place in range(8):
        written(disk, "one", bytes([place + 1]), offset=place)
    assert all(dict(outcome)[("one",)] == dict(outcome)[("two",)] for outcome in outcomes(disk))


def test_what_was_written_through_memory_may_be_anything():
    disk = disk_with("f")
    written(disk, "f", b"synced")
    disk.find(("f",)).sync(disk.tick())
    disk.find(("f",)).is_mapped = True
    assert len({dict(outcome)[("f",)] for outcome in outcomes(disk)}) > 10


def test_the_same_seed_leaves_the_same_disk():
    disk = disk_with("f")
    for place in range(20):
        written(disk, "f", b"x" * 700, offset=place * 600)
        disk.enter((f"g{place}",), File())
    assert disk.after_cut(Fate("1 2")) == disk.after_cut(Fate("1 2"))
    assert len(outcomes(disk, 50)) > 20


def test_what_is_not_there_cannot_be_removed_or_renamed():
    disk = disk_with("f")
    for wrong in (lambda: disk.remove(("g",)), lambda: disk.rename(("g",), ("h",)), lambda: disk.enter(("d", "f"), File())):
        with pytest.raises(KeyError):
            wrong()
