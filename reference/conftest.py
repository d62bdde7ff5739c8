"""Runs the tool under test: `$LENGTHWISE_BIN calc WHAT`, JSON in, JSON out.

The only door between this suite and the tool. A missing binary, a refusal or an answer
of the wrong length fails the test with the reason; nothing is ever skipped.
"""

import json
import os
import shutil
import subprocess

# small matrices by the thousand: one thread is the quickest, and has to be asked for before NumPy is loaded
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest

VARIABLE = "LENGTHWISE_BIN"
SECONDS = 120


def tool_path():
    """Path of the binary under test, or a failure that says what to set."""
    named = os.environ.get(VARIABLE)
    if not named:
        pytest.fail(f"set {VARIABLE} to the built `lengthwise` binary: there is nothing to test", pytrace=False)
    path = shutil.which(os.path.abspath(named))
    if path is None:
        pytest.fail(f"{VARIABLE}={named} is not a file that can be run", pytrace=False)
    return path


def ask(what, payload):
    """Answer of `calc WHAT` to `payload`; a list is answered by a list of the same length."""
    run = subprocess.run(
        [tool_path(), "calc", what],
        input=json.dumps(payload, allow_nan=False),
        capture_output=True,
        encoding="utf-8",
        timeout=SECONDS,
        check=False,
    )
    if run.returncode != 0:
        pytest.fail(f"calc {what}: exit {run.returncode}\n{first_refusal(payload, run.stdout)}\n{run.stderr[:2000]}")
    answer = json.loads(run.stdout, parse_constant=refuse_constant)
    if isinstance(payload, list):
        assert isinstance(answer, list), f"calc {what}: an array must give an array"
        assert len(answer) == len(payload), f"calc {what}: {len(payload)} asked, {len(answer)} answered"
    return answer


def refuse_constant(word):
    """NaN and the infinities are no JSON, and would slip through a comparison unseen."""
    pytest.fail(f"the answer contains {word}")


def first_refusal(payload, stdout):
    """The first question that came back as an error, beside that error."""
    try:
        answer = json.loads(stdout)
    except ValueError:
        return stdout[:2000]
    asked = payload if isinstance(payload, list) else [payload]
    for question, reply in zip(asked, answer if isinstance(answer, list) else [answer]):
        if isinstance(reply, dict) and "error" in reply:
            return f"asked {json.dumps(question)}\ngot {json.dumps(reply)}"
    return stdout[:2000]


@pytest.fixture
def calc():
    """The function `calc(what, payload)`; fails at once when there is no tool to ask."""
    tool_path()
    return ask
