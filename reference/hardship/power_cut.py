"""The power-cut proof: records a job once, cuts the power at many points of it, and opens what is left.

    python -m hardship.power_cut --example target/debug/examples/hardship --cuts 500 --restores 100 --control 50 --seed 1

Run in `reference`, on Linux, with strace. Nothing promised may be lost, doubled or damaged,
neither by the job nor while a copy is brought back over the studio. Two controls must be hurt, or
the proof sees nothing: the same recording on a disk that ignores every sync, and a job that wrote with
`synchronous=OFF`. Every cut depends on the seed and its number alone, given the log of calls.
"""

import argparse
import random
import shutil
import sys
import tempfile
import time
from pathlib import Path

from hardship.copies import content_of, copies_in
from hardship.fate import Fate
from hardship.looker import Looker
from hardship.place import memory_or_disk, write_tree
from hardship.recording import record
from hardship.replay import Replay
from hardship.verdict import judge

# of the cuts of a control at least this share must be hurt. House choice: far below what is seen, far above chance
LEAST_HURT = 0.25
SHOWN = 10
# enough for two copies of different content
STEPS_BEFORE_A_RESTORE = 24


class Proof:
    """Cuts of one recording and how they were judged."""

    def __init__(self, name, recording, seed, count, after=None, **disk):
        self.name, self.recording, self.seed, self.count, self.disk = name, recording, seed, count, disk
        # the first call at which the power may fail: the first of all, or the one that said what is named
        self.first = recording.said_at(after) if after else 0
        self.judged, self.hurt, self.lost, self.doubled, self.damaged = 0, 0, 0, 0, 0
        self.acts, self.cut_off, self.shown = 0, 0, []
        # what came of a copy, by its content: one of the same bytes comes back the same
        self.brought_back = {}

    def run(self, example, folder, options=()):
        looker = Looker(example, self.judge, options)
        for number, (at, tree) in enumerate(self.cuts()):
            left = folder / f"{self.name}-{number}"
            write_tree(left, tree)
            copies = {name: content_of(tree, name) for name in copies_in(tree)}
            new = [name for name, content in copies.items() if content not in self.brought_back]
            looker.ask(left, (number, at, left, copies), new)
        looker.finish()

    def cuts(self):
        """Points in the log of calls, in their order, with what is left on the disk at each."""
        calls = self.recording.calls
        draw = random.Random(f"{self.seed} {self.name}")
        points = sorted(draw.randint(self.first, len(calls)) for _ in range(self.count))
        replay, done = Replay(self.recording.root, **self.disk), 0
        for number, point in enumerate(points):
            for call in calls[done:point]:
                replay.apply(call)
            done = point
            yield point, replay.disk.after_cut(Fate(f"{self.seed} {self.name} {number}"))

    def judge(self, subject, found):
        number, at, left, copies = subject
        if "copies" in found:
            for copy in found["copies"]:
                self.brought_back[copies[copy["name"]]] = copy
            found["copies"] = [self.brought_back[content] for content in copies.values()]
        verdict = judge(self.recording.promises, self.recording.promised_by(at), found)
        shutil.rmtree(left)
        self.judged += 1
        self.acts += len(found.get("acts", ()))
        self.cut_off += found.get("was_cut_off", False)
        self.hurt += verdict.is_hurt
        self.lost += bool(verdict.lost)
        self.doubled += bool(verdict.doubled)
        self.damaged += bool(verdict.damaged)
        if verdict.is_hurt and len(self.shown) < SHOWN:
            self.shown.append(f"  cut {number} after call {at}: {verdict.words()}")

    def line(self):
        calls = len(self.recording.calls) - self.first
        cut_off = f", {self.cut_off} restores finished by hand" if self.cut_off else ""
        return (
            f"{self.name}: {self.judged} cuts over {calls} calls, {self.acts} acts found{cut_off}; hurt {self.hurt} "
            f"(lost something {self.lost}, doubled {self.doubled}, damaged {self.damaged})"
        )


def main():
    asked = arguments()
    began = time.monotonic()
    with tempfile.TemporaryDirectory(dir=memory_or_disk()) as folder:
        return proved(asked, Path(folder).resolve(), began)


def proved(asked, folder, began):
    recordings = {}
    for job, steps in (("work", asked.steps), ("restore", STEPS_BEFORE_A_RESTORE), ("careless", asked.steps)):
        root = folder / job
        root.mkdir()
        recordings[job] = record(asked.example.resolve(), job, steps, root, folder / "log")
        shutil.rmtree(root)
    real = Proof("synced", recordings["work"], asked.seed, asked.cuts)
    lying = Proof("syncs-ignored", recordings["work"], asked.seed, asked.control, ignores_syncs=True)
    careless = Proof("synchronous-off", recordings["careless"], asked.seed, asked.control)
    restore = Proof("restore", recordings["restore"], asked.seed, asked.restores, after="restoring")
    print(f"power cuts, seed {asked.seed}, {asked.steps} steps, {len(real.recording.promises)} promises")
    for proof, options in ((real, ()), (restore, ()), (lying, ["--only-look"]), (careless, ["--only-look"])):
        proof.run(asked.example, folder, options)
        print(proof.line(), flush=True)
    print(f"{time.monotonic() - began:.0f} s")
    blind = [control.name for control in (lying, careless) if control.hurt < LEAST_HURT * control.count]
    missed = [proof for proof in (real, restore) if proof.judged != proof.count or proof.hurt]
    for proof in missed:
        print("\n".join([f"FAILED: {proof.name}, {proof.hurt} of {proof.judged} cuts hurt the studio", *proof.shown]))
    if blind:
        print(f"FAILED: the proof is blind, {', '.join(blind)} was hurt too seldom")
    return 1 if missed or blind else 0


def arguments():
    parser = argparse.ArgumentParser(description="Cuts the power of a recorded job and opens what is left.")
    parser.add_argument("--example", type=Path, required=True, help="the built example `hardship` of the store")
    parser.add_argument("--cuts", type=int, default=500)
    parser.add_argument("--restores", type=int, default=100, help="cuts while a copy is brought back")
    parser.add_argument("--control", type=int, default=50, help="cuts of each control")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--steps", type=int, default=120, help="steps of the recorded job")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
