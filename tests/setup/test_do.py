"""do.py: what it makes, when it makes it anew, and what it says when it cannot."""

from __future__ import annotations

import ast
import importlib.util
import os
import shutil
import socket
import subprocess
import sys
import venv
from pathlib import Path
from types import ModuleType

import pytest

from powergood.store.layout import DATABASE_NAME

ROOT = Path(__file__).resolve().parents[2]

# What pip 26.3 and uv 0.13.9 printed on a machine whose index did not answer, and whose disk was full;
# shortened to the lines that differ.
PIP_OFFLINE = (
    "WARNING: Retrying (Retry(total=0, connect=None)) after connection broken by 'NewConnectionError(...)'\n"
    "ERROR: Could not find a version that satisfies the requirement alembic==1.20.1 (from versions: none)\n"
    "ERROR: No matching distribution found for alembic==1.20.1\n"
)
UV_OFFLINE = "error: Request failed after 3 retries in 5.9s\n  cause: Failed to fetch: `simple/alembic/`\n"
UV_NO_WHEEL = "error: No solution found when resolving dependencies\n  cause: x has no usable wheels\n"
DISK_FULL = "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device\n"
WRONG_FILE = "ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.\n"


def load() -> ModuleType:
    spec = importlib.util.spec_from_file_location("do_script", ROOT / "do.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """do.py, pointed at a checkout of its own with two small requirement files."""
    module = load()
    root = tmp_path / "checkout"
    (root / "requirements").mkdir(parents=True)
    (root / "requirements" / "run.txt").write_text("click==8.5.1 --hash=sha256:00\n")
    (root / "requirements" / "dev.txt").write_text(
        "click==8.5.1 --hash=sha256:00\nruff==0.17.6 --hash=sha256:11\n"
    )
    monkeypatch.setattr(module, "ROOT", root)
    monkeypatch.setattr(module, "VENV", root / ".venv")
    return module


@pytest.fixture
def made(do: ModuleType, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The steps that `prepare` took, with the slow ones replaced by notes of them."""
    steps: list[str] = []

    def make_venv(uv: str | None) -> None:
        steps.append("venv")
        python = do.venv_python()
        python.parent.mkdir(parents=True, exist_ok=True)
        python.write_text("")

    def version_inside(needs_pip: bool) -> tuple[int, ...]:
        return tuple(sys.version_info[:2]) if do.venv_python().exists() else ()

    monkeypatch.setattr(do, "make_venv", make_venv)
    monkeypatch.setattr(do, "version_inside", version_inside)
    monkeypatch.setattr(do, "install", lambda locked, uv: steps.append(f"install {locked.stem}"))
    monkeypatch.setattr(do, "link_source", lambda: steps.append("link"))
    return steps


# ---- the stamp


def test_an_environment_is_made_once_and_then_left_alone(do: ModuleType, made: list[str]) -> None:
    do.prepare("run")
    assert made == ["venv", "install run", "link"]
    do.prepare("run")
    assert made == ["venv", "install run", "link"]


def test_a_changed_requirements_file_is_installed_into_the_environment_that_is_there(
    do: ModuleType, made: list[str]
) -> None:
    do.prepare("run")
    (do.ROOT / "requirements" / "run.txt").write_text("click==8.5.2 --hash=sha256:22\n")
    do.prepare("run")
    assert made == ["venv", "install run", "link", "install run", "link"]


def test_what_the_tests_need_includes_what_the_program_needs(do: ModuleType, made: list[str]) -> None:
    do.prepare("dev")
    do.prepare("run")
    assert made == ["venv", "install dev", "link"]


def test_the_program_alone_is_not_enough_for_the_tests(do: ModuleType, made: list[str]) -> None:
    do.prepare("run")
    do.prepare("dev")
    assert made == ["venv", "install run", "link", "install dev", "link"]


def test_another_python_makes_the_environment_stale(
    do: ModuleType, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    do.prepare("run")
    monkeypatch.setattr(do.sys, "version_info", (3, 99, 0))
    assert not do.is_stamped("run", do.stamp_of(do.ROOT / "requirements" / "run.txt"))


def test_a_moved_checkout_makes_the_environment_stale(
    do: ModuleType, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = do.stamp_of(do.ROOT / "requirements" / "run.txt")
    moved = do.ROOT.rename(do.ROOT.with_name("moved"))
    monkeypatch.setattr(do, "ROOT", moved)
    assert do.stamp_of(moved / "requirements" / "run.txt") != before


def test_an_install_that_broke_off_is_done_again(
    do: ModuleType, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(locked: Path, uv: str | None) -> None:
        raise do.Stop("no network")

    with monkeypatch.context() as patch:
        patch.setattr(do, "install", broken)
        with pytest.raises(do.Stop):
            do.prepare("run")
    do.prepare("run")
    assert made == ["venv", "install run", "link"]


def test_the_environment_of_another_python_is_made_anew(
    do: ModuleType, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    do.prepare("run")
    (do.VENV / "stamp-run").unlink()
    monkeypatch.setattr(
        do, "version_inside", lambda needs_pip: (3, 11) if sys.version_info[1] != 11 else (3, 12)
    )
    do.prepare("run")
    assert made.count("venv") == 2


# ---- the environment, for real


def test_the_source_is_on_the_environments_path_and_has_a_command(do: ModuleType) -> None:
    venv.create(do.VENV, with_pip=False)
    package = do.ROOT / "src" / "powergood"
    package.mkdir(parents=True)
    (package / "__init__.py").write_text("")
    (package / "__main__.py").write_text("import sys; print('started with', *sys.argv[1:])\n")
    do.link_source()
    starter = do.venv_python().with_name("powergood.cmd" if os.name == "nt" else "powergood")
    said = subprocess.run([starter, "job", "7"], capture_output=True, text=True, check=True).stdout
    assert said.split() == ["started", "with", "job", "7"]


def test_the_version_of_an_environment_is_read_from_its_own_python(do: ModuleType) -> None:
    assert do.version_inside(needs_pip=False) == ()
    venv.create(do.VENV, with_pip=False)
    assert do.version_inside(needs_pip=False) == tuple(sys.version_info[:2])
    assert do.version_inside(needs_pip=True) == (), "without pip and without uv it is of no use"


# ---- what it says


def test_an_old_python_gets_words_not_a_traceback() -> None:
    older = "import sys, runpy; sys.version_info = (3, 9, 2, 'final', 0); runpy.run_path('do.py')"
    done = subprocess.run([sys.executable, "-c", older], capture_output=True, text=True, cwd=ROOT)
    assert done.returncode == 1
    assert "needs Python 3.11 or newer; this is Python 3.9" in done.stderr
    assert "Traceback" not in done.stderr


def test_an_old_python_can_read_the_script_at_all() -> None:
    ast.parse((ROOT / "do.py").read_text(encoding="utf-8"), feature_version=(3, 7))


@pytest.mark.parametrize("lacking", ["venv", "ensurepip"])
def test_a_missing_module_says_which_package_brings_it(
    do: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], lacking: str
) -> None:
    real = importlib.util.find_spec
    monkeypatch.setattr(do.importlib.util, "find_spec", lambda name: None if name == lacking else real(name))
    monkeypatch.setattr(do.shutil, "which", lambda name: None)
    assert do.main(["check"]) == 2
    said = capsys.readouterr().err
    assert lacking in said
    assert "sudo apt install python3-venv" in said


def test_a_busy_port_is_told_before_anything_is_installed(
    do: ModuleType, made: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        assert do.main(["run", "--port", str(port)]) == 2
    said = capsys.readouterr().err
    assert f"Port {port} cannot be used" in said
    assert "do.py run --port" in said
    assert made == []


@pytest.mark.parametrize("port", ["0", "65536", "many", "-1"])
def test_a_port_that_is_none_is_refused(
    do: ModuleType, capsys: pytest.CaptureFixture[str], port: str
) -> None:
    with pytest.raises(SystemExit, match="2"):
        do.main(["run", f"--port={port}"])
    assert "a number from 1 to 65535" in capsys.readouterr().err


def test_an_unwritable_folder_is_named_with_what_to_do(
    do: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def refuse(dir: Path) -> None:
        raise PermissionError(13, "Permission denied", str(dir))

    monkeypatch.setattr(do.tempfile, "TemporaryFile", refuse)
    assert do.main(["check"]) == 2
    said = capsys.readouterr().err
    assert str(do.ROOT) in said
    assert "Permission denied" in said
    assert "a folder of your own" in said


def test_a_file_in_the_workshops_place_is_told(
    do: ModuleType, made: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "shop").write_text("")
    assert do.main(["run", "--port", str(free_port()), "--folder", str(tmp_path / "shop" / "mine")]) == 2
    assert "is a file, not a folder" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("printed", "advice"),
    [
        (PIP_OFFLINE, "no network"),
        (UV_OFFLINE, "no network"),
        (UV_NO_WHEEL, "no ready-made file for this system"),
        (DISK_FULL, "disk is full"),
        (WRONG_FILE, "not the one that requirements/ names"),
        ("ERROR: something else altogether\n", "could not be installed"),
    ],
)
def test_a_failed_install_says_why_and_keeps_the_installers_words(
    do: ModuleType, printed: str, advice: str
) -> None:
    said = do.why_not_installed(printed)
    assert advice in said
    assert printed.strip().splitlines()[-1].strip() in said


def test_an_index_that_does_not_answer_is_told_as_no_network(
    do: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    dead = f"http://127.0.0.1:{free_port()}/simple"
    for name in [name for name in os.environ if name.startswith(("PIP_", "UV_"))]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
    monkeypatch.setenv("PIP_INDEX_URL", dead)
    monkeypatch.setenv("UV_DEFAULT_INDEX", dead)
    monkeypatch.setenv("UV_NO_CACHE", "1")
    monkeypatch.setenv("UV_HTTP_RETRIES", "0")
    has_pip = importlib.util.find_spec("pip") is not None
    uv = None if has_pip else shutil.which("uv")
    assert has_pip or uv, "the environment was made by one of the two"
    monkeypatch.setattr(do, "venv_python", lambda: Path(sys.executable))
    (do.ROOT / "requirements" / "run.txt").write_text(f"powergood-no-such==1.0 --hash=sha256:{'0' * 64}\n")
    with pytest.raises(do.Stop, match="no network"):
        do.install(do.ROOT / "requirements" / "run.txt", uv)
    assert "Installing 1 packages" in capsys.readouterr().out


@pytest.mark.skipif(os.name == "nt", reason="the stand-in for pip is a shell script")
def test_an_install_says_how_far_it_is(
    do: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    printed = """
Collecting click==8.5.1 (from -r /a/folder/requirements/run.txt (line 2))
  Downloading click-8.5.1-py3-none-any.whl (112 kB)
Processing /opt/wheels/pi_heif-1.4.0-cp311-cp311-linux_x86_64.whl (from -r /a/folder/run.txt (line 9))
Collecting python-multipart==0.0.34
Installing collected packages: click, pi-heif, python-multipart
"""
    pip = tmp_path / "python"
    pip.write_text(f"#!/bin/sh\ncat <<'END'{printed}END\n")
    pip.chmod(0o755)
    monkeypatch.setattr(do, "venv_python", lambda: pip)
    do.install(do.ROOT / "requirements" / "dev.txt", None)
    told = [line.strip() for line in capsys.readouterr().out.splitlines()]
    assert told[1:4] == ["1 of 2: click", "2 of 2: pi_heif", "3 of 2: python-multipart"]
    assert "putting them in place" in told[4]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


# ---- run


@pytest.fixture
def started(do: ModuleType, monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The commands that `run` started, each without the Python before it."""
    calls: list[list[str]] = []

    def note(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        calls.append([str(word) for word in command[3:]])
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.setattr(do, "prepare", lambda kind: Path("python"))
    monkeypatch.setattr(do.subprocess, "run", note)
    monkeypatch.setattr(do, "become", lambda command: note(command).returncode)
    return calls


def test_run_makes_the_demo_workshop_where_there_is_none_and_opens_it(
    do: ModuleType, started: list[list[str]]
) -> None:
    port = str(free_port())
    demo = str(do.ROOT / "demo-workshop")
    assert do.main(["run", "--port", port]) == 0
    assert started == [["demo", demo], ["bench", demo, "--port", port]]


def test_run_never_makes_the_demo_over_a_workshop_that_is_there(
    do: ModuleType, started: list[list[str]]
) -> None:
    demo = do.ROOT / "demo-workshop"
    demo.mkdir()
    (demo / "workshop.sqlite").write_bytes(b"facts")
    assert do.main(["run", "--port", str(free_port())]) == 0
    assert [command[0] for command in started] == ["bench"]
    assert (demo / "workshop.sqlite").read_bytes() == b"facts"


def test_a_workshop_is_known_by_its_database(do: ModuleType) -> None:
    assert do.DATABASE == DATABASE_NAME


def test_a_workshop_of_ones_own_is_opened_without_the_demo_in_it(
    do: ModuleType, started: list[list[str]], tmp_path: Path
) -> None:
    port = str(free_port())
    assert do.main(["run", "--folder", str(tmp_path / "mine"), "--port", port, "--lan"]) == 0
    assert started == [["bench", str(tmp_path / "mine"), "--port", port, "--lan"]]


# ---- commands


def test_help_names_every_command(do: ModuleType, capsys: pytest.CaptureFixture[str]) -> None:
    assert do.main(["help"]) == 0
    said = capsys.readouterr().out
    assert all(f"  {name} " in said for name in do.COMMANDS)


def test_an_unknown_command_shows_the_help_and_fails(
    do: ModuleType, capsys: pytest.CaptureFixture[str]
) -> None:
    assert do.main(["jog"]) == 2
    assert "Commands:" in capsys.readouterr().out


def test_check_goes_on_after_a_failure_and_names_all(
    do: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail_two(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        return subprocess.CompletedProcess(command, 1 if "format" in command or "pack" in command else 0)

    monkeypatch.setattr(do, "prepare", lambda kind: Path("python"))
    monkeypatch.setattr(do.subprocess, "run", fail_two)
    assert do.main(["check"]) == 1
    assert capsys.readouterr().out.splitlines()[-1] == "Failed: form, pack."


def test_without_a_browser_the_page_tests_are_skipped_loudly_but_never_on_ci(
    do: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    told: list[str] = []

    def note(command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        told.extend(word for word in command if "tests/pages" in word)
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.syspath_prepend(str(ROOT))
    monkeypatch.setattr("tools.browser.find_browser", lambda python, say: "")
    monkeypatch.setattr(do, "prepare", lambda kind: Path("python"))
    monkeypatch.setattr(do.subprocess, "run", note)
    monkeypatch.delenv("CI", raising=False)
    assert do.main(["test"]) == 0
    assert told == ["--ignore=tests/pages"]
    assert "THE PAGE TESTS ARE SKIPPED" in capsys.readouterr().out
    monkeypatch.setenv("CI", "true")
    assert do.main(["test"]) == 2
    assert told == ["--ignore=tests/pages"]


def test_locking_without_uv_says_how_to_get_it(
    do: ModuleType, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.syspath_prepend(str(ROOT))
    monkeypatch.setenv("PATH", str(do.ROOT))
    assert do.main(["lock"]) == 2
    assert "pipx install uv" in capsys.readouterr().err
