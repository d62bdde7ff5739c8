"""Where the disks that are left lie while they are looked at."""

import os
from pathlib import Path


def memory_or_disk():
    """A folder in memory where there is one: thousands of disks are written and thrown away."""
    memory = Path("/dev/shm")
    return memory if memory.is_dir() and os.access(memory, os.W_OK) else None


def write_tree(folder, tree):
    """Writes what is left of a disk: bytes by path, `None` for a folder, each folder before what lies in it."""
    folder.mkdir()
    for path, content in tree.items():
        place = folder.joinpath(*path)
        if content is None:
            place.mkdir()
        else:
            place.write_bytes(content)
