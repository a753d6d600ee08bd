"""The guide command on a real port: a process of its own, a scale on a pty, answers through a pipe."""

from __future__ import annotations

import os
import subprocess
import sys
import threading

import pytest

pytestmark = pytest.mark.skipif(os.name != "posix", reason="ptys are POSIX")
ENV = {k: v for k, v in os.environ.items() if k not in ("SDL_VIDEODRIVER", "DISPLAY", "WAYLAND_DISPLAY")}


class Speaker(threading.Thread):
    """A scale that says its gross mass ten times a second, as number and unit; what is poured comes by and by."""

    def __init__(self) -> None:
        super().__init__(daemon=True)
        self.master, self.slave = os.openpty()
        self.name_of_port = os.ttyname(self.slave)
        self.grams = self.poured_to = 0.0
        self.over = threading.Event()

    def run(self) -> None:
        while not self.over.wait(0.1):
            self.grams = min(self.grams + 15.0, max(self.poured_to, self.grams))
            os.write(self.master, f"{self.grams:9.1f} g\r\n".encode())


def test_a_weight_poured_on_a_real_port_is_taken_and_the_make_can_be_resumed(tmp_path):
    scale = Speaker()
    scale.start()
    bench = tmp_path / "bench.toml"
    bench.write_text(
        f'[[device]]\nname = "big scale"\nkind = "scale"\nport = "{scale.name_of_port}"\n'
        'format = "number-unit"\nperiod = "0.2 s"\ncapacity = "3000 g"\nreadability = "0.1 g"\n'
    )
    command = [sys.executable, "-u", "-m", "benchapp.cli"]
    data = ["--data", str(tmp_path / "data")]
    process = subprocess.Popen(
        [*command, "guide", "tide-pool-gel", "--bench", str(bench), "--maker", "Mara Lind", *data],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=ENV,
    )  # fmt: skip

    def say(text: str) -> None:
        if not process.stdin.closed:
            process.stdin.write(text + "\n")
            process.stdin.flush()

    seen = []
    limit = threading.Timer(
        90.0, process.kill
    )  # a make that waits for a word nobody has would stand for ever
    limit.start()
    try:
        for line in process.stdout:
            seen.append(line)
            if line.startswith("  > understood"):
                say("understood")
            elif line.startswith("  > cut short"):
                say("cut short: this is only a test")
            elif line.startswith("  > yes"):
                say("yes")
            elif line.startswith("  > it is"):
                say("it is")
            elif "Put the empty, dry gel pot" in line:
                scale.grams = 480.0
            elif "] 2/" in line and ": Pour " in line:
                scale.poured_to = 480.0 + float(line.partition(": Pour ")[2].split()[0])
            elif line.startswith("  = purified-water"):
                say("hold")
                process.stdin.close()  # the answers end: the make is left unfinished
        process.wait(60)
    finally:
        limit.cancel()
        process.kill()
        process.wait()
        scale.over.set()
        scale.join()
    errors = process.stderr.read()
    process.stdout.close()
    process.stderr.close()
    assert process.returncode == 5, (errors, seen[-5:])
    assert "benchapp resume" in errors
    assert any(line.startswith("  = purified-water: 436 g measured") for line in seen), seen[-5:]
    listed = subprocess.run([*command, "batches", *data], capture_output=True, text=True, env=ENV, timeout=60)
    assert "unfinished" in listed.stdout
    resumed = subprocess.run(
        [*command, "resume", *data], input=2 * "abandon: only a test\n", capture_output=True, text=True, env=ENV, timeout=60
    )  # fmt: skip
    assert resumed.returncode == 4, resumed.stderr
    assert "goes on where it stood" in resumed.stdout
    os.close(scale.master)
    os.close(scale.slave)
