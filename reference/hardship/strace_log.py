"""Reads what `strace -f -y -xx` wrote: the calls, whole, in the order in which they ended.

With `-xx` every text stands in hexadecimal, so no comma, quote or bracket of a file can be taken for one of strace's.
A call that another thread interrupted stands on two lines, which are put together here. What cannot be read is an
error: a call that is overlooked would make a disk that never was.
"""

import re
from dataclasses import dataclass

LINE = re.compile(r"(\d+) +(.*)", re.DOTALL)
CALL = re.compile(r"(\w+)\((.*)\) += (-?\d+|0x[0-9a-f]+|\?)(.*)", re.DOTALL)
RESUMED = re.compile(r"<\.\.\. (\w+) resumed>(.*)", re.DOTALL)
UNFINISHED = " <unfinished ...>"
# threads that began or ended, and signals, are no calls
NO_CALL = re.compile(r"(\+\+\+|---) .*")


class Unreadable(Exception):
    """A line that is not understood, or a text that strace cut short."""


@dataclass(frozen=True)
class Call:
    """A call to the system that has ended. `began` and `ended` count lines: another call that ended before `began` was over
    when this one started."""

    name: str
    arguments: tuple
    result: int
    thread: int
    began: int
    ended: int
    is_injected: bool = False

    @property
    def has_failed(self):
        return self.result < 0


def calls(lines, is_wanted=lambda line: True):
    """The calls of a log, in the order in which they ended. Lines that are not wanted are not taken apart; both halves of a
    call are judged by the first."""
    open_calls = {}
    for number, line in enumerate(lines):
        found = LINE.fullmatch(line.rstrip("\n"))
        if not found:
            raise Unreadable(f"line {number + 1}: {line[:200]}")
        thread, text = found.groups()
        if NO_CALL.fullmatch(text):
            continue
        resumed = RESUMED.fullmatch(text)
        if resumed:
            if thread not in open_calls:
                raise Unreadable(f"line {number + 1}: goes on with a call that never began: {line[:200]}")
            began, first = open_calls.pop(thread)
            if first is not None:
                yield call_of(first + resumed.group(2), int(thread), began, number)
        elif text.endswith(UNFINISHED):
            open_calls[thread] = (number, text.removesuffix(UNFINISHED) if is_wanted(text) else None)
        elif is_wanted(text):
            yield call_of(text, int(thread), number, number)


def call_of(text, thread, began, ended):
    found = CALL.fullmatch(text)
    if not found:
        raise Unreadable(f"line {began + 1}: {text[:200]}")
    name, arguments, result, rest = found.groups()
    if result == "?":
        # the process ended inside it: whether it did anything is not known
        number = -1
    else:
        number = int(result, 0)
    return Call(name, tuple(split(arguments)), number, thread, began, ended, "(INJECTED)" in rest)


def split(arguments):
    """The arguments of a call: commas inside brackets belong to a structure."""
    if "[" not in arguments and "{" not in arguments:
        return arguments.split(", ") if arguments else []
    parts, depth, start = [], 0, 0
    for found in re.finditer(r"[\[{]|[\]}]|, ", arguments):
        sign = found.group()
        if sign in "[{":
            depth += 1
        elif sign in "]}":
            depth -= 1
        elif depth == 0:
            parts.append(arguments[start : found.start()])
            start = found.end()
    return parts + [arguments[start:]]


def text_of(argument):
    """The bytes of a text in hexadecimal."""
    if not (argument.startswith('"') and argument.endswith('"')) or len(argument) < 2:
        raise Unreadable(f"no whole text: {argument[:80]} … {argument[-20:]}")
    return unhex(argument[1:-1])


def texts_of(argument):
    """The bytes of the pieces of a scattered write, one after the other."""
    pieces = re.findall(r'iov_base=("[^"]*"(?:\.\.\.)?)', argument)
    return b"".join(text_of(piece) for piece in pieces)


def descriptor(argument):
    """The number of an open file and the path strace names for it; none for one that has no path."""
    number, _, path = argument.partition("<")
    path = path.partition(">")[0]
    return int(number, 0) if number != "AT_FDCWD" else None, unhex(path).decode() if path else None


def unhex(text):
    if len(text) % 4 or any(text[at : at + 2] != "\\x" for at in range(0, min(len(text), 400), 4)):
        raise Unreadable(f"not in hexadecimal: {text[:80]}")
    return bytes.fromhex(text.replace("\\x", ""))
