"""The full-disk proof: the job on a disk of 2 MB, until it is full.

    python -m hardship.full_disk --example target/debug/examples/hardship

Run in `reference`, on Linux, by someone who may mount; where that is not allowed a line says that it was not run. The job
must end with the store's words for a full disk; on the full disk the studio must still open and be read, and elsewhere
it must go on, with everything that was promised.
"""

import argparse
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from hardship.copies import copies_in
from hardship.fault import tree_of
from hardship.faults import REPORTED
from hardship.looker import Looker
from hardship.place import memory_or_disk
from hardship.recording import promise_of
from hardship.verdict import judge

SIZES_KB = (700, 1000, 1400, 2048)
# more than fits on the largest
STEPS = 240
FULL = "the disk is full"


def found_in(example, folder, copies=(), options=()):
    answers = []
    looker = Looker(example, lambda _, found: answers.append(found), options)
    looker.ask(folder, None, copies)
    looker.finish()
    return answers[0]


def tried(example, folder, size_kb, every_promise):
    """Fills a disk of a size; returns what is wrong, in words."""
    disk = folder / "disk"
    disk.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={size_kb}k", "tmpfs", str(disk)], check=True)
    try:
        ended = subprocess.run(
            [str(example), "work", str(disk), str(STEPS)], capture_output=True, text=True, check=False
        )
        wrong = []
        if ended.returncode != REPORTED or FULL not in ended.stderr:
            wrong.append(f"ended with {ended.returncode}: {ended.stderr[-300:]}")
        promises = [promise_of(line) for line in ended.stdout.splitlines()]
        wrong.append(judge(every_promise, promises, found_in(example, disk, options=["--only-look"])).words())
        elsewhere = folder / "elsewhere"
        shutil.copytree(disk, elsewhere)
    finally:
        subprocess.run(["umount", str(disk)], check=True)
        disk.rmdir()
    found = found_in(example, elsewhere, copies_in(tree_of(elsewhere)))
    wrong.append(judge(every_promise, promises, found).words())
    shutil.rmtree(elsewhere)
    print(f"full disk of {size_kb} kB: {len(promises)} promises kept, {len(found.get('copies', ()))} copies whole")
    return [f"{size_kb} kB: {words}" for words in wrong if words]


def may_mount(folder):
    """Why nothing can be mounted here; `None` where it can."""
    try:
        there = subprocess.run(
            ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)],
            capture_output=True,
            text=True,
            check=False,
        )
    except FileNotFoundError:
        return "there is no mount"
    if there.returncode:
        return there.stderr.strip()
    subprocess.run(["umount", str(folder)], check=True)
    return None


def proved(example, folder):
    refusal = may_mount(folder)
    if refusal is not None:
        print(f"full disk: not run, mounting is not allowed here ({refusal})")
        return 0
    roomy = folder / "roomy"
    roomy.mkdir()
    whole = subprocess.run([str(example), "work", str(roomy), str(STEPS)], capture_output=True, text=True, check=True)
    every_promise = [promise_of(line) for line in whole.stdout.splitlines()]
    shutil.rmtree(roomy)
    wrong = [words for size in SIZES_KB for words in tried(example, folder, size, every_promise)]
    if wrong:
        print("\n".join(["FAILED:", *wrong]))
    return 1 if wrong else 0


def main():
    parser = argparse.ArgumentParser(description="Fills a small disk and looks at what is left.")
    parser.add_argument("--example", type=Path, required=True, help="the built example `hardship` of the store")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=memory_or_disk()) as folder:
        return proved(asked.example.resolve(), Path(folder).resolve())


if __name__ == "__main__":
    sys.exit(main())
