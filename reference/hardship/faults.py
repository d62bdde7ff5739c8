"""The fault proof: the same job on a disk that refuses a call, once or for ever, and a look at what is left.

    python -m hardship.faults --example target/debug/examples/hardship --sample 80 --seed 1

Run in `reference`, on Linux, with strace. Whatever fails: the job ends well or with an error in the store's words, never in
a crash; and without the fault the studio opens whole, with everything that was promised, once. `--every` takes every
call in turn until the job does no further one.
"""

import argparse
import queue
import random
import shutil
import sys
import tempfile
import threading
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from hardship.copies import content_of, copies_in
from hardship.fault import CALLS, ERRORS, Fault, most_calls, paths_of, run, tree_of
from hardship.looker import Looker
from hardship.place import memory_or_disk
from hardship.recording import promise_of, record
from hardship.verdict import judge

WELL, REPORTED = 0, 3
# jobs side by side
AT_ONCE = 2
# n of the sample
LARGEST = 40


class Faults:
    """Jobs under faults and how they were judged."""

    def __init__(self, example, job, steps, recording):
        self.example, self.job, self.steps, self.recording = example, job, steps, recording
        self.paths = paths_of(recording)
        self.runs, self.hurt, self.ended = 0, [], Counter()
        self.brought_back, self.lock = {}, threading.Lock()

    def try_one(self, root, fault):
        """Does the job under a fault and judges it; returns how many calls were refused."""
        ended = run(self.example, self.job, self.steps, root, self.paths, fault)
        words = self.words(root, ended)
        with self.lock:
            self.runs += 1
            self.ended[self.kind(ended)] += 1
            if words:
                self.hurt.append(f"  {fault}: {words}")
        return ended.injected

    @staticmethod
    def kind(ended):
        if not ended.injected:
            return "not reached"
        return {WELL: "went on", REPORTED: "reported"}.get(ended.code, "crashed")

    def words(self, root, ended):
        """What is wrong; empty when all is well."""
        wrong = self.of_the_end(ended)
        try:
            promises = [promise_of(line) for line in ended.said]
            verdict = judge(self.recording.promises, promises, self.looked_at(root))
        finally:
            shutil.rmtree(root)
        return "; ".join(filter(None, [wrong, verdict.words()]))

    def of_the_end(self, ended):
        if ended.code not in (WELL, REPORTED) or "panicked" in ended.complained:
            return f"crashed with {ended.code}: {ended.complained[-300:]}"
        if ended.code == REPORTED and (not ended.injected or " again: " not in ended.complained):
            return f"ended without a reason: {ended.complained[-300:]}"
        acts = sum(line.startswith("saved ") for line in ended.said)
        if ended.code == WELL and acts != sum(promise.what == "saved" for promise in self.recording.promises):
            return f"ended well after {acts} acts"
        return ""

    def looked_at(self, root):
        """Has the studio opened without the fault, and copies of new content brought back."""
        tree = tree_of(root)
        copies = {name: content_of(tree, name) for name in copies_in(tree)}
        with self.lock:
            new = [name for name, content in copies.items() if content not in self.brought_back]
        answers = queue.SimpleQueue()
        looker = Looker(self.example, lambda _, found: answers.put(found))
        looker.ask(root, None, new)
        looker.finish()
        found = answers.get_nowait()
        if "error" not in found:
            with self.lock:
                for copy in found["copies"]:
                    self.brought_back[copies[copy["name"]]] = copy
                found["copies"] = [self.brought_back[content] for content in copies.values()]
        return found


def sample(count, seed, most):
    """Faults drawn by chance: every kind the job can meet in turn, at a call up to number 40 or as far as it gets."""
    draw = random.Random(f"{seed} faults")
    kinds = [(call, error, ever) for call in CALLS if call in most for error in ERRORS for ever in (False, True)]
    draw.shuffle(kinds)
    for number in range(count):
        call, error, ever = kinds[number % len(kinds)]
        yield Fault(call, error, draw.randint(1, min(LARGEST, most[call])), ever)


def run_sample(faults, folder, count, seed):
    roots = queue.SimpleQueue()
    for number in range(AT_ONCE):
        roots.put(folder / f"disk-{number}")

    def one(fault):
        root = roots.get()
        try:
            return faults.try_one(root, fault)
        finally:
            roots.put(root)

    with ThreadPoolExecutor(AT_ONCE) as pool:
        refused = list(pool.map(one, sample(count, seed, most_calls(faults.recording))))
    return sum(bool(calls) for calls in refused)


def run_every(faults, folder):
    """Each kind of fault at its first, second, … call, until the job does no further one."""

    def one(kind):
        call, error, ever = kind
        nth = 1
        while faults.try_one(folder / f"disk-{call}-{error}-{ever}", Fault(call, error, nth, ever)):
            nth += 1
        return nth - 1

    kinds = [(call, error, ever) for call in CALLS for error in ERRORS for ever in (False, True)]
    with ThreadPoolExecutor(AT_ONCE) as pool:
        reached = dict(zip(kinds, pool.map(one, kinds)))
    for call in CALLS:
        most = max(number for kind, number in reached.items() if kind[0] == call)
        print(f"{call}: every call up to number {most} of a thread")
    return sum(reached.values())


def proved(asked, folder):
    began = time.monotonic()
    example = asked.example.resolve()
    root = folder / "recorded"
    root.mkdir()
    recording = record(example, asked.job, asked.steps, root, folder / "log")
    shutil.rmtree(root)
    faults = Faults(example, asked.job, asked.steps, recording)
    refused = run_every(faults, folder) if asked.every else run_sample(faults, folder, asked.sample, asked.seed)
    ends = ", ".join(f"{count} {kind}" for kind, count in sorted(faults.ended.items()))
    which = "every call in turn" if asked.every else f"seed {asked.seed}"
    print(f"faults of {asked.job}, {which}, {asked.steps} steps: {faults.runs} jobs, {refused} with a call refused; {ends}")
    print(f"{time.monotonic() - began:.0f} s")
    if faults.hurt:
        print("\n".join([f"FAILED: {len(faults.hurt)} jobs", *faults.hurt[:20]]))
    # strace that refuses nothing would prove nothing
    is_blind = refused * 2 < (1 if asked.every else asked.sample)
    if is_blind:
        print(f"FAILED: only {refused} jobs met a fault")
    return 1 if faults.hurt or is_blind else 0


def main():
    parser = argparse.ArgumentParser(description="Does a job on a disk that refuses a call.")
    parser.add_argument("--example", type=Path, required=True, help="the built example `hardship` of the store")
    parser.add_argument("--job", choices=("work", "restore"), default="work")
    parser.add_argument("--sample", type=int, default=80, help="jobs under faults drawn by chance")
    parser.add_argument("--every", action="store_true", help="every call in turn instead")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--steps", type=int, default=24, help="steps of the job")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=memory_or_disk()) as folder:
        return proved(asked, Path(folder).resolve())


if __name__ == "__main__":
    sys.exit(main())
