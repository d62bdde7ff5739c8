"""One run of the job under strace: what it did to its disk, and what it promised when."""

import subprocess
from dataclasses import dataclass
from pathlib import Path

from hardship.replay import RECORDED, is_about
from hardship.strace_log import calls, text_of

# longer than anything the job writes at once; a text that is cut short is an error all the same
LONGEST_TEXT = 1 << 24


class JobFailed(Exception):
    """The job did not end well where it should have."""


@dataclass(frozen=True)
class Promise:
    """Something the job said after the store had acknowledged it, and the state the studio was in then."""

    what: str
    subject: str
    state: str


@dataclass(frozen=True)
class Recording:
    """The calls of a run, and of each promise the number of calls that had ended when it was made, its own among them."""

    root: str
    calls: list
    promises: list
    made_at: list

    def said_at(self, what):
        """How many calls had ended when something was said for the first time."""
        return next(at for promise, at in zip(self.promises, self.made_at) if promise.what == what)

    def promised_by(self, call_count):
        """The promises that had been made when so many calls had ended."""
        return [promise for promise, at in zip(self.promises, self.made_at) if at <= call_count]


def record(example, job, steps, root, log):
    """Runs a job on an empty folder under strace."""
    run = subprocess.run(
        ["strace", "-f", "--seccomp-bpf", "-y", "-xx", "-s", str(LONGEST_TEXT), "-o", str(log)]
        + ["-e", "trace=" + ",".join(RECORDED), str(example), job, str(root), str(steps)],
        capture_output=True,
        text=True,
        check=False,
    )
    if run.returncode != 0:
        raise JobFailed(f"{job} ended with {run.returncode}: {run.stderr[-2000:]}")
    with Path(log).open(encoding="ascii") as lines:
        recording = recording_of(str(root), list(calls(lines, lambda line: is_about(str(root), line))))
    if [promise_of(line) for line in run.stdout.splitlines()] != recording.promises:
        raise JobFailed("the log does not hold what the job said")
    return recording


def recording_of(root, ended):
    promises, made_at = [], []
    for count, call in enumerate(ended, start=1):
        if call.name == "write" and call.arguments[0].startswith("1<"):
            for line in text_of(call.arguments[1]).decode().splitlines():
                promises.append(promise_of(line))
                made_at.append(count)
    return Recording(root, ended, promises, made_at)


def promise_of(line):
    """`opened STATE`, `saved NUMBER ID STATE`, `copied NUMBER NAME STATE`, `restoring NAME` or `restored NUMBER NAME STATE`."""
    words = line.split(" ")
    if words[0] == "opened" and len(words) == 2:
        return Promise("opened", "", words[1])
    if words[0] == "restoring" and len(words) == 2:
        return Promise("restoring", words[1], "")
    if words[0] in ("saved", "copied", "restored") and len(words) == 4:
        return Promise(words[0], words[2], words[3])
    raise JobFailed(f"not understood: {line}")
