"""A disk that fails at one call, or from one call on, and the job done on it."""

import shutil
import subprocess
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from hardship.strace_log import descriptor, text_of

# what the job does to its disk; of these the specification asks for pwrite64, fsync, rename and openat
CALLS = ("pwrite64", "fsync", "rename", "openat", "write", "ftruncate", "unlink", "mkdir", "linkat", "copy_file_range")
ERRORS = ("ENOSPC", "EIO")
# a job that takes longer hangs, seconds; unhurt it takes about one
LONGEST = 120


@dataclass(frozen=True)
class Fault:
    """The call that fails, the error it fails with, and from which call on. strace counts in each thread by itself: a
    connection that is opened later meets its own n-th call."""

    call: str
    error: str
    nth: int
    is_for_ever: bool

    def __str__(self):
        return f"{self.call} {self.error} at call {self.nth}{' and ever after' if self.is_for_ever else ''}"

    def for_strace(self):
        return f"inject={self.call}:error={self.error}:when={self.nth}{'+' if self.is_for_ever else ''}"


@dataclass(frozen=True)
class Ended:
    """How the job ended under a fault."""

    code: int
    said: list
    complained: str
    injected: int


def paths_of(recording):
    """Every path below the root that the job ever touched, relative to it: `-P` limits the faults to these."""
    found = set()
    for call in recording.calls:
        for argument in call.arguments:
            path = text_of(argument).decode(errors="replace") if argument.startswith('"\\x2f') else None
            if path is None and "<" in argument:
                path = descriptor(argument)[1]
            if path and (path + "/").startswith(recording.root + "/"):
                found.add(path.removeprefix(recording.root).lstrip("/"))
    return sorted(found)


def most_calls(recording):
    """How often the thread that does it most did each call to a path of ours."""
    # what is said on standard output is recorded and never refused
    ours = (call for call in recording.calls if call.name in CALLS and not call.arguments[0].startswith("1<"))
    counts = Counter((call.name, call.thread) for call in ours)
    most = {}
    for (name, _), count in counts.items():
        most[name] = max(count, most.get(name, 0))
    return most


def run(example, job, steps, root, paths, fault):
    """Does the job on an empty folder with a fault."""
    shutil.rmtree(root, ignore_errors=True)
    root.mkdir()
    log = root.with_suffix(".log")
    of_ours = [word for path in paths for word in ("-P", str(root / path))]
    ended = subprocess.run(
        ["strace", "-f", "--seccomp-bpf", "-qq", "-o", str(log), "-e", f"trace={fault.call}", "-e", fault.for_strace()]
        + of_ours
        + [str(example), job, str(root), str(steps)],
        capture_output=True,
        text=True,
        timeout=LONGEST,
        check=False,
    )
    injected = log.read_text(encoding="ascii").count("(INJECTED)")
    return Ended(ended.returncode, ended.stdout.splitlines(), ended.stderr, injected)


def tree_of(root):
    """What lies below a folder: bytes by path, `None` for a folder."""
    tree = {}
    for path in sorted(Path(root).rglob("*")):
        tree[path.relative_to(root).parts] = None if path.is_dir() else path.read_bytes()
    return tree
