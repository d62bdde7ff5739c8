"""The copies on a disk, and what each consists of."""

import hashlib

FOLDER = ("data", "backups")


def copies_in(tree):
    """The copies that carry their name."""
    return [path[2] for path in tree if path[:2] == FOLDER and len(path) == 3 and path[2].endswith(".db")]


def content_of(tree, name):
    """A digest of a copy and of everything in its folder of photos."""
    photos = FOLDER + (name.removesuffix(".db") + ".photos",)
    digest = hashlib.sha256()
    for path, content in sorted(tree.items(), key=lambda entry: entry[0]):
        if path == FOLDER + (name,) or path[:3] == photos:
            digest.update(f"{path} {-1 if content is None else len(content)} ".encode() + (content or b""))
    return digest.digest()
