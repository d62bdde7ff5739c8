"""What chance does with everything that was not synced, from a seed: one power cut."""

import random

from hardship.disk import SECTOR

# how much of what was not synced a cut keeps: from nothing, as a disk that never wrote, to nearly all, as one that was late
SHARES = (0.0, 0.1, 0.5, 0.5, 0.9, 1.0)


class Fate:
    """Decides for one cut. A decision about a change of a folder holds wherever it is asked for."""

    def __init__(self, seed):
        self.random = random.Random(seed)
        self.share_of_bytes = self.random.choice(SHARES)
        self.share_of_names = self.random.choice(SHARES)
        self.decided = {}

    def keeps(self):
        return self.random.random() < self.share_of_bytes

    def keeps_change(self, change):
        if change.is_synced:
            return True
        if change not in self.decided:
            # an old name goes only where the new one is
            is_possible = change.after is None or self.keeps_change(change.after)
            self.decided[change] = is_possible and self.random.random() < self.share_of_names
        return self.decided[change]

    def of_write(self, offset, data):
        """What is kept of a write: whole, nothing, or some of its sectors."""
        if self.random.random() < 0.5:
            return [(offset, data)] if self.keeps() else []
        kept, at = [], 0
        while at < len(data):
            # sectors are those of the file, wherever the write begins
            end = min(len(data), at + SECTOR - (offset + at) % SECTOR)
            if self.keeps():
                kept.append((offset + at, data[at:end]))
            at = end
        return kept

    def noise(self, length):
        """Content of which nothing is known: nothing, zeros, or anything."""
        return self.random.choice((b"", bytes(length), self.random.randbytes(length)))
