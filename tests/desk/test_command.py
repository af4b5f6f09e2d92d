"""`vectorize desk` as a person starts it: the address, the page, a file that is no picture, Ctrl-C."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time

import httpx
import pytest

pytestmark = pytest.mark.skipif(os.name != "posix", reason="Ctrl-C is sent to one process by POSIX alone")


@pytest.fixture
def started(tmp_path):
    command = [sys.executable, "-m", "vectorize.cli", "desk", str(tmp_path / "evening class"), "--no-browser"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    yield process
    process.kill()
    process.communicate()


def test_from_the_address_to_ctrl_c(started):
    begun = time.monotonic()
    address = started.stdout.readline().strip()
    assert address.startswith("http://127.0.0.1:")
    origin = "/".join(address.split("/")[:3])
    with httpx.Client(trust_env=False, verify=False, timeout=30, headers={"origin": origin}) as client:
        assert "<title>" in client.get(address).text
        # First view: the server's start and its answer; the helpers start meanwhile.
        assert time.monotonic() - begun < 20.0
        client.post(address + "api/drawings", content=b"this is no picture", headers={"x-file-name": "notes.jpg"})
        for _ in range(200):
            drawing = client.get(address + "api/drawings/1").json()["drawing"]
            if drawing["state"] == "failed":
                break
            time.sleep(0.1)
        assert drawing["state"] == "failed"
        assert "fault in the program" not in drawing["message"]
    started.send_signal(signal.SIGINT)
    out, said = started.communicate(timeout=15)
    assert started.returncode == 0
    assert out == ""
    assert "Traceback" not in said
    assert "Aborted" not in said


def test_a_folder_open_on_another_desk_is_refused(started, tmp_path):
    started.stdout.readline()
    command = [sys.executable, "-m", "vectorize.cli", "desk", str(tmp_path / "evening class"), "--no-browser"]
    second = subprocess.run(command, capture_output=True, text=True, timeout=30, check=False)
    assert second.returncode == 1
    assert second.stdout == ""
    assert "another desk" in second.stderr
