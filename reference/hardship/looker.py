"""Opens what is left of many studios, in one long-lived process, and hands back what it finds."""

import json
import subprocess
import threading


class LookerEnded(Exception):
    """The process that looks ended before it had answered for everything: it crashed."""


class Looker:
    """Folders go in, findings come out; at most `AT_ONCE` folders wait, so that the disk does not fill up."""

    AT_ONCE = 24

    def __init__(self, example, on_found, options=()):
        self.on_found = on_found
        self.asked = {}
        self.failure = None
        self.places = threading.Semaphore(self.AT_ONCE)
        self.process = subprocess.Popen(
            [str(example), "verify", *options], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        self.reader = threading.Thread(target=self.read)
        self.reader.start()

    def ask(self, folder, subject, copies=()):
        """Has a folder looked at and some of its copies brought back; `on_found` is called with the subject and what was
        found."""
        self.places.acquire()
        if self.failure:
            raise self.failure
        self.asked[str(folder)] = subject
        self.process.stdin.write(json.dumps({"folder": str(folder), "copies": list(copies)}) + "\n")
        self.process.stdin.flush()

    def read(self):
        try:
            for line in self.process.stdout:
                found = json.loads(line)
                self.on_found(self.asked.pop(found["folder"]), found)
                self.places.release()
            if self.process.wait() != 0 or self.asked:
                raise LookerEnded(f"ended with {self.process.returncode}, {len(self.asked)} unanswered")
        except Exception as error:  # handed to the thread that asks
            self.failure = error
            for _ in range(self.AT_ONCE):
                self.places.release()

    def finish(self):
        """Waits for what is still being looked at."""
        self.process.stdin.close()
        self.reader.join()
        if self.failure:
            raise self.failure
