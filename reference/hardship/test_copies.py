"""Two copies are the same only when every byte of them and of their photos is."""

from hardship.copies import content_of, copies_in

TREE = {
    ("data",): None,
    ("data", "studio.db"): b"studio",
    ("data", "backups"): None,
    ("data", "backups", "day.db"): b"copy",
    ("data", "backups", "day.photos"): None,
    ("data", "backups", "day.photos", "p.jpg"): b"picture",
    ("data", "backups", "hour.db.partial"): b"half",
}


def test_a_half_written_copy_is_none():
    assert copies_in(TREE) == ["day.db"]


def test_a_change_of_the_copy_or_its_photos_is_seen_and_of_nothing_else():
    whole = content_of(TREE, "day.db")
    assert content_of(TREE | {("data", "studio.db"): b"other"}, "day.db") == whole
    for path, content in (
        (("data", "backups", "day.db"), b"copx"),
        (("data", "backups", "day.photos", "p.jpg"), b"pictur"),
        (("data", "backups", "day.photos", "q.jpg"), b""),
    ):
        assert content_of(TREE | {path: content}, "day.db") != whole
    without = {path: content for path, content in TREE.items() if path[-1] != "p.jpg"}
    assert content_of(without, "day.db") != whole
