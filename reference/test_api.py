"""The JSON interface against its own description, with schemathesis: thousands of requests, valid and not,
none of which may make the server fail."""

import json
import os
import re
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

import pytest

LENGTHWISE = os.environ["LENGTHWISE_BIN"]
EXAMPLES_EACH = "60"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def get(url: str) -> dict:
    with urllib.request.urlopen(url, timeout=10) as answer:
        return json.load(answer)


@pytest.fixture(scope="module")
def studio(tmp_path_factory):
    """A server on a studio filled with the invented golfers; its address."""
    data = tmp_path_factory.mktemp("studio") / "studio.db"
    url = f"http://127.0.0.1:{free_port()}"
    server = subprocess.Popen(
        [LENGTHWISE, "serve", "--data", str(data), "--listen", url.removeprefix("http://")],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        for _ in range(100):
            try:
                get(f"{url}/api/v1/house")
                break
            except urllib.error.URLError:
                assert server.poll() is None, server.stderr.read()
                time.sleep(0.05)
        filled = urllib.request.Request(f"{url}/example", data=b"", method="POST")
        filled.add_header("Content-Type", "application/x-www-form-urlencoded")
        urllib.request.urlopen(filled, timeout=60)
        yield url
    finally:
        server.terminate()
        assert server.wait(timeout=10) == 0, "the server stops gracefully"


def described_with_real_ids(url: str) -> dict:
    """The description, its path parameters drawn from records that are there: forged ids are only ever refused."""
    document = get(f"{url}/api/v1/openapi.json")
    golfers = [hit["golfer"]["id"] for hit in get(f"{url}/api/v1/golfers?most=100")["golfers"]]
    jobs = []
    for golfer in golfers:
        jobs += [kept["record"]["id"] for kept in get(f"{url}/api/v1/golfers/{golfer}")["dossier"]["jobs"]]
    known = {"golfer": golfers, "job": jobs, "record": golfers + jobs}
    for path in document["paths"].values():
        for operation in path.values():
            for parameter in operation["parameters"]:
                if parameter["in"] == "path":
                    parameter["schema"]["enum"] = known[parameter["name"]]
    return document


def test_no_request_makes_the_server_fail(studio, tmp_path):
    described = tmp_path / "openapi.json"
    described.write_text(json.dumps(described_with_real_ids(studio)))
    ran = subprocess.run(
        [
            str(Path(sys.executable).with_name("st")),
            "run",
            str(described),
            "--url",
            f"{studio}/api/v1",
            "--checks",
            "not_a_server_error,response_schema_conformance,content_type_conformance",
            "--max-examples",
            EXAMPLES_EACH,
            "--seed",
            "20261125",
            "--no-color",
        ],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        timeout=300,
    )
    assert ran.returncode == 0, ran.stdout[-6000:] + ran.stderr[-2000:]
    tested = re.search(r"Tested: (\d+)", ran.stdout)
    generated = re.search(r"(\d+) generated, (\d+) passed", ran.stdout)
    assert tested and int(tested[1]) == sum(len(path) for path in json.loads(described.read_text())["paths"].values())
    assert generated and generated[1] == generated[2] and int(generated[1]) > 1000, ran.stdout[-2000:]
    print(f"{generated[1]} requests, no server error")
    check_whole(studio)


def check_whole(url: str) -> None:
    """After all that every golfer of the studio can still be read."""
    for hit in get(f"{url}/api/v1/golfers?most=100")["golfers"]:
        get(f"{url}/api/v1/golfers/{hit['golfer']['id']}")
