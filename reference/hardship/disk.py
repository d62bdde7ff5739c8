"""A disk that forgets: what was synced stays, the rest stays, goes or is torn when the power fails.

Bytes are on disk when their file was synced, names when their folder was; syncing a file does not keep its name. What
was not synced may be kept or lost in any combination, not only in the order in which it was written, and of a write any
sectors of 512 bytes. Real file systems promise more; what survives here survives there.

Two things are taken for granted. A sector is written whole or not. A rename inside a folder happens whole or not at all,
and one into another folder never loses the file: it may be there under both names, never under none.
"""

from dataclasses import dataclass, field

SECTOR = 512


class File:
    """Bytes, as the running program sees them and as they are on disk."""

    def __init__(self):
        self.live = bytearray()
        self.synced = b""
        # (when, offset, bytes), or (when, length, None) where it was cut to a length
        self.pending = []
        # bytes written through memory are not seen: nothing is known of what is on disk
        self.is_mapped = False

    def write(self, when, offset, data):
        put(self.live, offset, data)
        self.pending.append((when, offset, bytes(data)))

    def truncate(self, when, length):
        cut(self.live, length)
        self.pending.append((when, length, None))

    def sync(self, before):
        """Keeps what had been written before the sync began."""
        kept = bytearray(self.synced)
        for _, at, data in (change for change in self.pending if change[0] < before):
            put(kept, at, data) if data is not None else cut(kept, at)
        self.synced = bytes(kept)
        self.pending = [change for change in self.pending if change[0] >= before]

    def after_cut(self, fate):
        if self.is_mapped:
            return fate.noise(len(self.live))
        if not self.pending:
            return self.synced
        left = bytearray(self.synced)
        for _, at, data in self.pending:
            if data is None:
                if fate.keeps():
                    cut(left, at)
            else:
                for start, piece in fate.of_write(at, data):
                    put(left, start, piece)
        return bytes(left)


@dataclass(eq=False)
class Change:
    """A change of a folder: names that now stand for something, or for nothing. `after` is the change without which this one
    cannot be: the new name of a file whose old name goes."""

    when: int
    folder: "Folder"
    names: dict
    after: "Change | None" = None
    is_synced: bool = False


@dataclass(eq=False)
class Folder:
    """Names, as the running program sees them and as they are on disk."""

    live: dict = field(default_factory=dict)
    synced: dict = field(default_factory=dict)
    pending: list = field(default_factory=list)

    def change(self, when, names, after=None):
        enter(self.live, names)
        made = Change(when, self, names, after)
        self.pending.append(made)
        return made

    def sync(self, before):
        """Keeps what had been changed before the sync began."""
        for change in [change for change in self.pending if change.when < before]:
            change.folder.keep(change)

    def keep(self, change):
        if change.is_synced:
            return
        if change.after:
            # with what was changed there before it: nothing older may come over it
            change.after.folder.sync(change.after.when + 1)
        enter(self.synced, change.names)
        change.is_synced = True
        self.pending.remove(change)

    def after_cut(self, fate):
        left = dict(self.synced)
        for change in self.pending:
            if fate.keeps_change(change):
                enter(left, change.names)
        return left


class Disk:
    """A tree of folders and files. Time counts up with everything that happens."""

    def __init__(self):
        self.root = Folder()
        self.time = 0

    def tick(self):
        self.time += 1
        return self.time

    def find(self, path):
        """What a path of names stands for now; `None` for nothing."""
        node = self.root
        for name in path:
            node = node.live.get(name) if isinstance(node, Folder) else None
        return node

    def folder_of(self, path):
        folder = self.find(path[:-1])
        if not isinstance(folder, Folder):
            raise KeyError(f"no folder for {'/'.join(path)}")
        return folder, path[-1]

    def enter(self, path, node):
        """Gives something a name: a file or folder that is made, or a second name."""
        folder, name = self.folder_of(path)
        folder.change(self.tick(), {name: node})

    def remove(self, path):
        folder, name = self.folder_of(path)
        if name not in folder.live:
            raise KeyError(f"nothing to remove at {'/'.join(path)}")
        folder.change(self.tick(), {name: None})

    def rename(self, old, new):
        (source, name), (target, new_name) = self.folder_of(old), self.folder_of(new)
        node = source.live[name]
        when = self.tick()
        if source is target:
            source.change(when, {name: None, new_name: node})
        else:
            there = target.change(when, {new_name: node})
            source.change(when, {name: None}, after=there)

    def after_cut(self, fate):
        """What is on the disk after the power failed: bytes by path, `None` for a folder."""
        left, contents = {}, {}

        def content(node):
            # a file has one content, under however many names
            if node not in contents:
                contents[node] = node.after_cut(fate)
            return contents[node]

        def walk(folder, above):
            for name, node in sorted(folder.after_cut(fate).items()):
                path = above + (name,)
                if isinstance(node, Folder):
                    left[path] = None
                    walk(node, path)
                else:
                    left[path] = content(node)

        walk(self.root, ())
        return left


def put(content, offset, data):
    if offset > len(content):
        content.extend(bytes(offset - len(content)))
    content[offset : offset + len(data)] = data


def cut(content, length):
    if length < len(content):
        del content[length:]
    else:
        content.extend(bytes(length - len(content)))


def enter(entries, names):
    for name, node in names.items():
        if node is None:
            entries.pop(name, None)
        else:
            entries[name] = node
