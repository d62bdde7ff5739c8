"""Does to a modelled disk what the recorded calls did to the real one.

A file is followed by its number from open to close, not by its path: it keeps its identity when it is renamed or
removed. A call that changes files below the root in a way that is not known here is an error.
"""

import re
from dataclasses import dataclass

from hardship.disk import Disk, File, Folder
from hardship.strace_log import descriptor, text_of, texts_of

# what changes nothing that outlives a power cut
HARMLESS = {"fcntl"}
# where a call names no folder its path must be whole
NO_FOLDER = "AT_FDCWD<>"


class NotFollowed(Exception):
    """A call whose effect on the disk is not known."""


@dataclass
class Opened:
    """An open file: what it is, and where the next read or write begins."""

    node: object
    position: int = 0
    appends: bool = False


class Replay:
    """A disk below a root, and the files that are open. Where `ignores_syncs` is set, syncing does nothing, as on a disk
    that says it has written and has not."""

    def __init__(self, root, ignores_syncs=False):
        self.root = root.rstrip("/")
        self.ignores_syncs = ignores_syncs
        self.disk = Disk()
        self.open = {}
        # the line at which each number was given
        self.given_at = {}
        # when each call ended, by the disk's time: a sync covers what had ended when it began
        self.times = []

    def apply(self, call):
        """Does what a call did; failed calls did nothing."""
        if not call.has_failed and not call.is_injected:
            action = getattr(self, call.name, None)
            if action is None and call.name not in HARMLESS:
                raise NotFollowed(f"{call.name} {call.arguments}"[:300])
            if action:
                action(call)
        self.times.append((call.ended, self.disk.time))

    # -- paths and numbers

    def inside(self, path):
        """The names below the root that lead to a path; `None` outside."""
        if path == self.root:
            return ()
        return tuple(path[len(self.root) + 1 :].split("/")) if path.startswith(self.root + "/") else None

    def path(self, folder, name):
        _, above = descriptor(folder)
        name = text_of(name).decode()
        if above is None and not name.startswith("/"):
            raise NotFollowed(f"{name}: below which folder?")
        return self.inside(name if name.startswith("/") else f"{above}/{name}")

    def opened(self, argument):
        """The open file of a number; `None` when it lies outside."""
        number, path = descriptor(argument)
        found = self.open.get(number)
        if found is None and path and self.inside(path) is not None:
            raise NotFollowed(f"{path} was never opened")
        return found

    def began(self, call):
        """The disk's time when a call began."""
        for ended, time in reversed(self.times):
            if ended < call.began:
                return time
        return 0

    # -- opening and closing

    def openat(self, call):
        folder, name, flags = call.arguments[:3]
        flags = set(flags.split("|"))
        if "O_TMPFILE" in flags:
            raise NotFollowed("a file without a name")
        self.open.pop(call.result, None)
        path = self.path(folder, name)
        if path is None:
            return
        node = self.disk.find(path)
        if node is None:
            if "O_CREAT" not in flags:
                raise NotFollowed(f"{'/'.join(path)} is opened and was never made")
            node = File()
            self.disk.enter(path, node)
        elif "O_TRUNC" in flags and node.live:
            node.truncate(self.disk.tick(), 0)
        self.give(call, Opened(node, appends="O_APPEND" in flags))

    def give(self, call, opened):
        self.open[call.result] = opened
        self.given_at[call.result] = call.ended

    def close(self, call):
        number, _ = descriptor(call.arguments[0])
        # a number is free as soon as its closing began: another thread may have it again before the log tells the end
        if self.given_at.get(number, -1) < call.began:
            self.open.pop(number, None)

    def dup(self, call):
        self.open.pop(call.result, None)
        source = self.opened(call.arguments[0])
        if source:
            # two numbers, one position
            self.give(call, source)

    dup2 = dup3 = dup

    def mmap(self, call):
        kinds, way, number = call.arguments[2:5]
        if "MAP_SHARED" in way and "PROT_WRITE" in kinds and number != "-1":
            opened = self.opened(number)
            if opened:
                opened.node.is_mapped = True

    # -- bytes

    def pwrite64(self, call):
        opened = self.opened(call.arguments[0])
        if opened:
            self.put(opened.node, int(call.arguments[3]), text_of(call.arguments[1])[: call.result])

    def write(self, call):
        self.put_here(call, text_of)

    def writev(self, call):
        self.put_here(call, texts_of)

    def put_here(self, call, bytes_of):
        opened = self.opened(call.arguments[0])
        if opened:
            at = len(opened.node.live) if opened.appends else opened.position
            self.put(opened.node, at, bytes_of(call.arguments[1])[: call.result])
            opened.position = at + call.result

    def put(self, node, at, data):
        node.write(self.disk.tick(), at, data)

    def lseek(self, call):
        opened = self.opened(call.arguments[0])
        if opened:
            opened.position = call.result

    def ftruncate(self, call):
        opened = self.opened(call.arguments[0])
        if opened:
            opened.node.truncate(self.disk.tick(), int(call.arguments[1], 0))

    def copy_file_range(self, call):
        source, target = self.opened(call.arguments[0]), self.opened(call.arguments[2])
        if target is None:
            return
        if source is None or call.arguments[1] != "NULL" or call.arguments[3] != "NULL":
            raise NotFollowed("a copy from outside, or from and to places of its own")
        data = bytes(source.node.live[source.position : source.position + call.result])
        if len(data) != call.result:
            raise NotFollowed("a copy of more than is known of the source")
        self.put(target.node, target.position, data)
        source.position += call.result
        target.position += call.result

    # -- syncing

    def fsync(self, call):
        opened = self.opened(call.arguments[0])
        if opened and not self.ignores_syncs:
            # what had ended at this time is covered, what ends later is not
            opened.node.sync(self.began(call) + 1)

    fdatasync = fsync

    # -- names

    def mkdir(self, call):
        self.make_folder(self.path(NO_FOLDER, call.arguments[0]))

    def mkdirat(self, call):
        self.make_folder(self.path(*call.arguments[:2]))

    def make_folder(self, path):
        if path is not None:
            self.disk.enter(path, Folder())

    def unlink(self, call):
        self.remove(self.path(NO_FOLDER, call.arguments[0]))

    rmdir = unlink

    def unlinkat(self, call):
        self.remove(self.path(*call.arguments[:2]))

    def remove(self, path):
        if path is not None:
            self.disk.remove(path)

    def rename(self, call):
        self.move(*(self.path(NO_FOLDER, name) for name in call.arguments[:2]))

    def renameat(self, call):
        self.move(self.path(*call.arguments[:2]), self.path(*call.arguments[2:4]))

    def renameat2(self, call):
        if call.arguments[4] not in ("0", "RENAME_NOREPLACE"):
            raise NotFollowed(f"renamed in another way: {call.arguments[4]}")
        self.renameat(call)

    def move(self, old, new):
        if (old is None) != (new is None):
            raise NotFollowed("renamed across the root")
        if old is not None:
            self.disk.rename(old, new)

    def link(self, call):
        self.second_name(*(self.path(NO_FOLDER, name) for name in call.arguments[:2]))

    def linkat(self, call):
        self.second_name(self.path(*call.arguments[:2]), self.path(*call.arguments[2:4]))

    def second_name(self, old, new):
        if (old is None) != (new is None):
            raise NotFollowed("linked across the root")
        if old is not None:
            self.disk.enter(new, self.disk.find(old))


# what is recorded: everything that can change a file or a name, and what tells which file a number stands for
RECORDED = (
    "openat open creat close dup dup2 dup3 mmap lseek write writev pwrite64 pwritev pwritev2 ftruncate truncate "
    "fallocate copy_file_range sendfile splice fsync fdatasync sync_file_range mkdir mkdirat unlink unlinkat rmdir "
    "rename renameat renameat2 link linkat symlink symlinkat"
).split()


def is_about(root, line):
    """Whether a line of the log can matter for a disk below a root, or is a promise on standard output."""
    return hexed(root) in line or line.startswith("write(1<") or re.match(r"(close|dup\d?)\(", line) is not None


def hexed(text):
    return "".join(f"\\x{byte:02x}" for byte in text.encode())
