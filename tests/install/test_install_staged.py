"""The install script into a folder of its own: which files, with which rights and contents, and what taking off leaves.

The program in it is a wheel of three lines: that a real one holds everything is ``.ci/wheel``'s business.
"""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import zipfile
from configparser import ConfigParser
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(os.name != "posix", reason="it is for Raspberry Pi OS and Debian")

SCRIPTS = Path(__file__).parents[2] / "install"
FILES = {
    "etc/bench/screen.conf": 0o644,
    "etc/systemd/journald@bench.conf": 0o644,
    "etc/systemd/system/bench.service": 0o644,
    "etc/udev/rules.d/65-bench.rules": 0o644,
    "opt/bench/bin/benchapp": 0o755,
    "opt/bench/lib/is-scale": 0o755,
    "opt/bench/lib/start-screen": 0o755,
}


def run(script: str | Path, *words: str | Path, expect: int = 0, at: Path | None = None, **env: str) -> str:
    """As a person whose files are nobody else's, as hardened systems and ``sudo`` on them have it."""
    done = subprocess.run(
        ["sh", SCRIPTS / script, *words], capture_output=True, text=True, timeout=120, umask=0o077, cwd=at,
        env={**os.environ, "PIP_NO_DEPS": "1", "PIP_NO_INDEX": "1", **env},
    )  # fmt: skip
    assert done.returncode == expect, done.stderr
    return done.stdout + done.stderr


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """A wheel that pip takes for the program: a command that says where it runs."""
    file = tmp_path_factory.mktemp("wheel") / "benchapp-0-py3-none-any.whl"
    with zipfile.ZipFile(file, "w") as packed:
        packed.writestr("benchapp_stub.py", "import sys\n\ndef main():\n    print(sys.prefix)\n")
        packed.writestr(
            "benchapp-0.dist-info/METADATA", "Metadata-Version: 2.1\nName: benchapp\nVersion: 0\n"
        )
        packed.writestr(
            "benchapp-0.dist-info/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
        )
        packed.writestr(
            "benchapp-0.dist-info/entry_points.txt", "[console_scripts]\nbenchapp = benchapp_stub:main\n"
        )
        # A script that pip compiles: a folder then stands among the commands.
        packed.writestr("benchapp-0.data/scripts/helper.py", "#!python\n")
        packed.writestr("benchapp-0.dist-info/RECORD", "")
    return file


@pytest.fixture(scope="module")
def checkout(wheel, tmp_path_factory) -> tuple[Path, dict[Path, int]]:
    """A checkout in which something was built before, and when each file of it was written."""
    folder = tmp_path_factory.mktemp("check out")
    shutil.copytree(SCRIPTS, folder / "install")
    (folder / "build/lib").mkdir(parents=True)
    (folder / "build/lib/taken_out.py").touch()
    (folder / "pyproject.toml").write_text(
        '[build-system]\nrequires = []\nbackend-path = ["."]\nbuild-backend = "packer"\n'
    )
    (folder / "packer.py").write_text(
        "import os, shutil\n"
        "def build_wheel(into, *_):\n"
        "    os.mkdir('build')\n"  # raises where an earlier one was left
        f"    return os.path.basename(shutil.copy({str(wheel)!r}, into))\n"
    )
    return folder, {p: p.stat().st_mtime_ns for p in folder.rglob("*")}


@pytest.fixture(scope="module")
def staged(checkout, tmp_path_factory) -> Path:
    root, scratch = tmp_path_factory.mktemp("root"), tmp_path_factory.mktemp("scratch")
    words = ("--root", root, "--user", "mara", "--maker", "Mara Lind")
    said = run(checkout[0] / "install/install.sh", *words, TMPDIR=str(scratch))
    assert said == f"Everything stands below {root}; this machine was not changed.\n"
    assert list(scratch.iterdir()) == []
    return root


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_every_file_is_there_with_its_rights_and_nothing_unfinished(staged) -> None:
    assert {name: mode(staged / name) for name in FILES} == FILES
    outside = {p.relative_to(staged).as_posix() for p in staged.rglob("*") if p.is_file()} - set(FILES)
    assert {name for name in outside if not name.startswith("opt/bench/")} == set()
    assert sorted(p.name for p in (staged / "opt").iterdir()) == ["bench"]
    assert os.readlink(staged / "usr/local/bin/benchapp") == "/opt/bench/bin/benchapp"


def test_whatever_the_user_of_the_screen_has_to_read_may_be_read_by_others(staged) -> None:
    placed = [p for p in (staged / "opt").rglob("*") if not p.is_symlink()]
    wanted = {p.relative_to(staged).as_posix() for p in placed if mode(p) & (0o055 if p.is_dir() else 0o044)}
    assert len(placed) > 100
    assert {p.relative_to(staged).as_posix() for p in placed} == wanted


def test_a_checkout_is_packed_as_it_is_now_and_stays_as_it_was(checkout, staged) -> None:
    """What an earlier build left there would come back with the newer program; what root leaves, nobody can build over."""
    folder, before = checkout
    assert {p: p.stat().st_mtime_ns for p in folder.rglob("*")} == before


def test_a_bench_file_is_found_from_where_the_unit_starts_too(tmp_path) -> None:
    quick = tmp_path / "bin/python3"
    quick.parent.mkdir()
    quick.write_text('#!/bin/sh\n[ "$2" != venv ] || { mkdir -p "$3/bin" && cp "$0" "$3/bin/python"; }\n')
    quick.chmod(0o755)
    words = (
        "--user",
        "mara",
        "--maker",
        "Mara Lind",
        "--root",
        tmp_path,
        "--wheel",
        "w",
        "--bench",
        "my bench.toml",
    )
    for _ in range(2):  # what was said again is not said to be passed over
        said = run("install.sh", *words, at=tmp_path, PATH=f"{quick.parent}:{os.environ['PATH']}")
        assert said.startswith("Everything stands below")
    assert f'BENCH="{tmp_path}/my bench.toml"' in (tmp_path / "etc/bench/screen.conf").read_text()


def test_what_was_said_stands_in_the_files_and_no_gap_is_left(staged) -> None:
    for name in FILES:
        if not name.startswith("opt/"):
            text = (staged / name).read_text(encoding="utf-8")
            assert "@USER@" not in text
            assert "@MAKER@" not in text
    assert (
        'MAKER="Mara Lind"\nBENCH="/home/mara/.local/share/benchapp/bench.toml"'
        in (staged / "etc/bench/screen.conf").read_text()
    )
    unit = ConfigParser(strict=False, interpolation=None, delimiters=("=",))
    unit.optionxform = str  # type: ignore[assignment,method-assign]
    unit.read(staged / "etc/systemd/system/bench.service")
    service = unit["Service"]
    assert service["User"] == "mara"
    assert service["EnvironmentFile"] == "/etc/bench/screen.conf"
    assert service["LogNamespace"] == "bench"
    assert service["ExecStart"] == "/opt/bench/lib/start-screen"
    scripts = [p for p in (staged / "opt/bench/bin").iterdir() if p.is_file() and not p.is_symlink()]
    assert [p.name for p in scripts if b"bench.new/bin/python" in p.read_bytes().split(b"\n")[0]] == []
    assert (staged / "opt/bench/bin/benchapp").read_text().startswith("#!/opt/bench/bin/python")


def started(staged: Path, tmp_path: Path, bench: Path) -> list[str]:
    """What the unit's start runs, word by word."""
    program = tmp_path / "program"
    program.write_text('#!/bin/sh\nprintf "%s\\n" "$@"\n')
    program.chmod(0o755)
    env = {"MAKER": "Mara Lind", "BENCH": str(bench), "PROGRAM": str(program), "PATH": os.environ["PATH"]}
    done = subprocess.run(
        [staged / "opt/bench/lib/start-screen"],
        env=env,
        check=True,
        capture_output=True,
        text=True,
        timeout=20,
    )
    return done.stdout.splitlines()


def test_the_screen_starts_on_the_bench_file_and_without_one_until_there_is_one(staged, tmp_path) -> None:
    bench = tmp_path / "my bench.toml"
    usual = ["screen", "--fullscreen", "--go-on", "--maker", "Mara Lind"]
    assert started(staged, tmp_path, bench) == usual
    bench.touch()
    assert started(staged, tmp_path, bench) == [*usual, "--bench", str(bench)]


def test_the_program_takes_the_options_it_is_started_with(staged, tmp_path) -> None:
    from benchapp.cli import parser

    bench = tmp_path / "bench.toml"
    bench.touch()
    words = started(staged, tmp_path, bench)
    given = parser((words[0],)).parse_args(words)
    assert (given.go_on, given.fullscreen, given.maker, given.bench) == (True, True, "Mara Lind", str(bench))


def test_systemd_has_nothing_against_the_unit(staged, tmp_path) -> None:
    analyze = shutil.which("systemd-analyze")
    if analyze is None:
        pytest.skip("systemd is not installed here")
    unit = tmp_path / "bench.service"
    text = (staged / "etc/systemd/system/bench.service").read_text(encoding="utf-8")
    unit.write_text(text.replace("/opt/bench/lib/start-screen", "/bin/true"), encoding="utf-8")
    done = subprocess.run([analyze, "verify", "--man=no", unit], capture_output=True, text=True, timeout=60)
    ours = [line for line in done.stderr.splitlines() if "bench.service" in line]
    assert (done.returncode, ours) == (0, []), done.stderr


@pytest.mark.parametrize(("begins", "scale"), [("058d0920a101", True), ("05010906a101", False), ("", False)])
def test_a_scale_is_known_by_its_descriptor(staged, tmp_path, begins, scale) -> None:
    (tmp_path / "device").mkdir()
    (tmp_path / "device/report_descriptor").write_bytes(bytes.fromhex(begins))
    done = subprocess.run([staged / "opt/bench/lib/is-scale", tmp_path], timeout=20)
    assert (done.returncode == 0) is scale


def test_the_rules_name_no_maker_of_devices_and_stand_between_what_a_disk_holds_and_uaccess(staged) -> None:
    rules = (staged / "etc/udev/rules.d/65-bench.rules").read_text(encoding="utf-8")
    assert "idVendor" not in rules
    assert int(next((staged / "etc/udev/rules.d").iterdir()).name[:2]) in range(61, 73)
    assert "--owner=mara " in rules
    lines = [line for line in rules.splitlines() if line and not line.startswith("#")]
    assert [line.split(",")[0] for line in lines] == [
        'ACTION=="remove"', 'SUBSYSTEM=="tty"', 'SUBSYSTEM=="hidraw"', 'ACTION=="add"', 'LABEL="bench_end"',
    ]  # fmt: skip


def test_again_it_renews_the_program_and_keeps_what_was_set_and_taken_off_it_leaves_that(
    staged, wheel
) -> None:
    settings, records = (
        staged / "etc/bench/screen.conf",
        staged / "home/mara/.local/share/benchapp/journal.sqlite",
    )
    bench = staged / "etc/bench/bench.toml"
    records.parent.mkdir(parents=True)
    for file in (records, bench):
        file.write_text("of value")
    settings.write_text('MAKER="Kees Brandt"\nBENCH="/etc/bench/bench.toml"\n')
    (staged / "opt/bench/left-over").touch()
    said = run("install.sh", "--root", staged, "--user", "mara", "--maker", "Mara Lind", "--wheel", wheel)
    assert "stay as /etc/bench/screen.conf says" in said
    assert settings.read_text().startswith('MAKER="Kees Brandt"')
    assert not (staged / "opt/bench/left-over").exists()
    said = run("uninstall.sh", "--root", staged)
    assert "What stays" in said
    left = {p.relative_to(staged).as_posix() for p in staged.rglob("*") if p.is_file() or p.is_symlink()}
    assert left == {p.relative_to(staged).as_posix() for p in (settings, bench, records)}


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ((), "--user NAME"),
        (("--user", "mara"), "--maker"),
        (("--user", "mara", "--maker", 'a" b'), "quotation mark"),
        (("--pace", "1"), "There is no option --pace"),
        (("--root",), "wants a word"),
    ],
)
def test_what_is_missing_or_wrong_is_a_sentence_before_anything_is_written(words, sentence, tmp_path) -> None:
    said = run(
        "install.sh", *words, *(("--root", tmp_path) if words != ("--root",) else ()), expect=2, SUDO_USER=""
    )
    assert sentence in said
    assert list(tmp_path.iterdir()) == []


def test_the_scripts_are_plain_sh() -> None:
    for script in ("install.sh", "uninstall.sh", "is-scale", "start-screen"):
        subprocess.run(["sh", "-n", SCRIPTS / script], check=True, timeout=20)
    checker = shutil.which("shellcheck")
    if checker is None:
        pytest.skip("shellcheck is not installed here")
    subprocess.run(
        [checker, *(SCRIPTS / s for s in ("install.sh", "uninstall.sh", "is-scale", "start-screen"))],
        check=True,
        timeout=60,
    )
