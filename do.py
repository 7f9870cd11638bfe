"""Make powergood's environment, then run, test or check it: `python3 do.py run`, `python3 do.py test`.

Needs Python 3.11 or newer and nothing else: what the program rests on is fetched into `.venv`, each file
held to the digests in `requirements/`. Works on Linux, macOS and Windows. `python3 do.py help` lists all.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036  (an older Python must get words, not a traceback)
    sys.exit(
        "powergood needs Python 3.11 or newer; this is Python %d.%d.\n"  # noqa: UP031
        "Install a newer one from your system's packages or from python.org, and start this with it,\n"
        "for example: python3.12 do.py run" % tuple(sys.version_info[:2])
    )

import argparse
import hashlib
import importlib.util
import os
import platform
import re
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
DEMO = "demo-workshop"
DATABASE = "workshop.sqlite"  # a workshop is there where this is (powergood.store.layout)
PORT = 8077
INSTALL_TROUBLE = (  # what an installer prints, and what to tell a person then; the first that fits
    (
        r"no space left|not enough space|disk quota",
        "The disk is full. Free about 1 GB and start this again.",
    ),
    (
        r"do not match the hashes|hash mismatch|hashes are required",
        "A fetched file is not the one that requirements/ names, so it was not installed. Start this again;\n"
        "if it happens twice, something on the way changes files: use another network.",
    ),
    (
        r"name resolution|name or service not known|getaddrinfo|dns error|connection|unreachable|timed out"
        r"|proxy|retrying|error sending request|failed to fetch|ssl|tls",
        "The packages could not be fetched: there seems to be no network. Go online once (behind a proxy,\n"
        "set HTTPS_PROXY) and start this again. Later starts need no network.",
    ),
    (
        r"no matching distribution|no usable wheels|unsatisfiable|no solution",
        "A package has no ready-made file for this system and Python. Python 3.11 to 3.14 on Linux, macOS\n"
        "or Windows (on Windows ARM64: the x64 Python) is what it is known to work with.",
    ),
)


class Stop(Exception):
    """The reason why this cannot go on, in words that say what to do."""


def say(words: str) -> None:
    """Print one line at once."""
    print(words, flush=True)


# ---- the environment -----------------------------------------------------------------------------------


def venv_python() -> Path:
    """Return where the environment's Python is."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def stamp_of(locked: Path) -> str:
    """Return what an environment made from `locked`, by this Python, in this place, is stamped with."""
    digest = hashlib.sha256(locked.read_bytes()).hexdigest()
    version = "{}.{}".format(*sys.version_info[:2])
    return f"{digest} python-{version} {platform.system()}-{platform.machine()} {ROOT}\n"


def is_stamped(kind: str, stamp: str) -> bool:
    """Say whether the environment holds the packages of `kind` as they are locked now."""
    file = VENV / f"stamp-{kind}"
    return venv_python().exists() and file.is_file() and file.read_text(encoding="utf-8") == stamp


def prepare(kind: str) -> Path:
    """Make the environment hold the packages of `kind` (`run` or `dev`); return its Python."""
    locked = ROOT / "requirements" / f"{kind}.txt"
    stamp = stamp_of(locked)
    if is_stamped(kind, stamp):
        return venv_python()
    check_writable(ROOT, "Copy the whole checkout to a folder of your own and start this there.")
    uv = shutil.which("uv")
    if version_inside(needs_pip=not uv) != sys.version_info[:2]:
        make_venv(uv)
    install(locked, uv)
    link_source()
    for each in ("run", "dev") if kind == "dev" else ("run",):
        file = ROOT / "requirements" / f"{each}.txt"
        (VENV / f"stamp-{each}").write_text(stamp_of(file), encoding="utf-8")
    return venv_python()


def version_inside(needs_pip: bool) -> tuple[int, ...]:
    """Return the version of the environment's Python; () when there is none, or none that is of use."""
    question = f"import sys{', pip' if needs_pip else ''}; print(*sys.version_info[:2])"
    try:
        asked = subprocess.run([venv_python(), "-c", question], capture_output=True, text=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return ()
    return tuple(int(part) for part in asked.stdout.split())


def check_writable(folder: Path, advice: str) -> None:
    """Stop, with `advice`, unless a file can be made in `folder`."""
    try:
        with tempfile.TemporaryFile(dir=folder):
            pass
    except OSError as error:
        raise Stop(f"Cannot write in {folder} ({error.strerror}).\n{advice}") from error


def make_venv(uv: str | None) -> None:
    """Make an empty environment in `.venv`."""
    say("Making the environment in .venv with Python {}.{}.{} ...".format(*sys.version_info[:3]))
    missing = [name for name in ("venv", "ensurepip") if importlib.util.find_spec(name) is None]
    if missing and not uv:
        raise Stop(
            f"This Python lacks its {' and '.join(missing)} module, which makes environments.\n"
            "On Debian or Ubuntu: sudo apt install python3-venv\n"
            "Elsewhere: install the whole of Python, from your system's packages or from python.org."
        )
    by_uv = [uv or "", "venv", "--quiet", "--clear", "--python", sys.executable, str(VENV)]
    by_python = [sys.executable, "-m", "venv", "--clear", str(VENV)]
    made = subprocess.run(by_uv if uv else by_python, capture_output=True, text=True)
    if made.returncode:
        raise Stop(f"The environment could not be made:\n{made.stdout}{made.stderr}".rstrip())


def install(locked: Path, uv: str | None) -> None:
    """Fetch and install what `locked` names, ready-made files only, saying how far it is."""
    total = len(set(re.findall(r"^([\w.-]+)==", locked.read_text(encoding="utf-8"), re.MULTILINE)))
    say(f"Installing {total} packages at most; the first time takes a minute or two ...")
    python = str(venv_python())
    by_uv = [uv or "", "pip", "install", "--python", python]
    by_pip = [python, "-m", "pip", "install", "--no-input", "--disable-pip-version-check", "--retries", "2"]
    command = [*(by_uv if uv else by_pip), "--require-hashes", "--only-binary", ":all:", "-r", str(locked)]
    words: list[str] = []
    done = 0
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace"
    ) as process:
        for line in process.stdout or ():
            words.append(line)
            fetching = re.match(r"(?:Collecting |Processing \S*/)([\w.-]+?)(?:[=~<>(;\s]|-\d|$)", line)
            if fetching:
                done += 1
                say(f"  {done} of {total}: {fetching[1]}")
            elif line.startswith("Installing collected"):
                say("  all fetched; putting them in place ...")
    if process.returncode:
        raise Stop(why_not_installed("".join(words)))


def why_not_installed(output: str) -> str:
    """Return what went wrong, and what to do, from what the installer printed."""
    tail = "\n".join("    " + line for line in output.strip().splitlines()[-6:])
    for pattern, advice in INSTALL_TROUBLE:
        if re.search(pattern, output, re.IGNORECASE):
            return f"{advice}\nThe installer's last words were:\n{tail}"
    return f"The packages could not be installed. The installer's last words were:\n{tail}"


def link_source() -> None:
    """Put `src` on the environment's path, and a `powergood` command beside its Python."""
    python = venv_python()
    where = "import sysconfig; print(sysconfig.get_path('purelib'))"
    site = subprocess.run([python, "-c", where], capture_output=True, text=True, check=True).stdout.strip()
    encoding = "utf-8" if sys.version_info >= (3, 13) else "locale"
    (Path(site) / "powergood-source.pth").write_text(f"{ROOT / 'src'}\n", encoding=encoding)
    if os.name == "nt":
        starter = python.with_name("powergood.cmd")
        starter.write_text('@"%~dp0python.exe" -m powergood %*\n', encoding="ascii")
    else:
        starter = python.with_name("powergood")
        starter.write_text('#!/bin/sh\nexec "${0%/*}/python" -m powergood "$@"\n', encoding="ascii")
        starter.chmod(0o755)


# ---- run -----------------------------------------------------------------------------------------------


def run(words: Sequence[str]) -> int:
    """Start the bench on the demo workshop, or on the one given."""
    parser = argparse.ArgumentParser(prog="do.py run", description="Start the bench in a browser.")
    parser.add_argument("--folder", type=Path, help=f"a workshop of your own, made if missing (else {DEMO})")
    parser.add_argument("--port", type=port_number, default=PORT, help=f"where it listens (else {PORT})")
    parser.add_argument("--lan", action="store_true", help="let phones and tablets on your network in")
    asked = parser.parse_args(words)
    folder = (asked.folder or ROOT / DEMO).expanduser().resolve()
    check_port(asked.port, "0.0.0.0" if asked.lan else "127.0.0.1")
    check_workshop(folder)
    python = str(prepare("run"))
    if not asked.folder and not (folder / DATABASE).exists():
        say(f"Making the demo workshop in {folder} ...")
        if subprocess.run([python, "-m", "powergood", "demo", str(folder)]).returncode:
            raise Stop("The demo workshop could not be made; the reason stands above.")
    command = [python, "-m", "powergood", "bench", str(folder), "--port", str(asked.port)]
    return become([*command, "--lan"] if asked.lan else command)


def port_number(text: str) -> int:
    """Return a port from what was typed."""
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"a port is a number from 1 to 65535, not {text!r}")
    return int(text)


def check_port(port: int, host: str) -> None:
    """Stop unless something can listen on `port`."""
    with socket.socket() as probe:
        if os.name != "nt":  # elsewhere a port that was in use a moment ago would still look busy
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            raise Stop(
                f"Port {port} cannot be used ({error.strerror}).\n"
                f"If powergood already runs there, open http://127.0.0.1:{port} in a browser.\n"
                f"Else choose another: python3 do.py run --port {port % 65535 + 1}"
            ) from error


def check_workshop(folder: Path) -> None:
    """Stop unless `folder` is, or can become, a folder that can be written in."""
    standing = next(place for place in (folder, *folder.parents) if place.exists())
    if not standing.is_dir():
        raise Stop(f"{standing} is a file, not a folder. Name another folder with --folder.")
    check_writable(standing, "Name a folder of your own with --folder.")


def become(command: list[str]) -> int:
    """Carry on as `command`, so that a signal meant for this reaches it."""
    if os.name != "nt":
        sys.stdout.flush()
        os.execv(command[0], command)
    return subprocess.run(command).returncode


# ---- test, check, bench, docs, lock ---------------------------------------------------------------------


def test(words: Sequence[str]) -> int:
    """Run all tests, or those that the arguments (pytest's) choose."""
    from tools.browser import find_browser  # here: `run` has no use for it

    python = prepare("dev")
    browser = find_browser(python, say)
    without = [] if browser else ["--ignore=tests/pages"]
    environment = {**os.environ, "POWERGOOD_CHROMIUM": browser}
    if not browser:
        line = "=" * 80
        say(f"{line}\nNo browser could be found or fetched: THE PAGE TESTS ARE SKIPPED.\n{line}")
        if os.environ.get("CI"):
            raise Stop("On CI the page tests are never skipped.")
    # Modules are kept whole: what one prepares for its tests is then made once, not on both workers.
    shared_out = ["-n", "2", "--dist", "loadscope", "--no-loadscope-reorder"]
    command = [str(python), "-m", "pytest", *shared_out, *without, *words]
    return subprocess.run(command, cwd=ROOT, env=environment).returncode


def check(words: Sequence[str]) -> int:
    """Check form, style, types, the import rule, the shipped pack and the generated pages."""
    python = str(prepare("dev"))
    contracts = "from importlinter.cli import lint_imports_command as lint; lint()"
    pack = "src/powergood/packs/data/core"
    failed = []
    for name, command in (
        ("form", ["-m", "ruff", "format", "--check", "."]),
        ("style", ["-m", "ruff", "check", "."]),
        ("types", ["-m", "mypy"]),
        ("types of the tools", ["-m", "mypy", "--explicit-package-bases", "do.py", "tools"]),
        ("imports", ["-c", contracts]),
        ("pack", ["-m", "powergood", "pack", "check", pack]),
        ("generated pages", ["tools/generate_docs.py", "--check"]),
    ):
        say(f"== {name}")
        if subprocess.run([python, *command], cwd=ROOT).returncode:
            failed.append(name)
    say(f"Failed: {', '.join(failed)}." if failed else "All checks passed.")
    return 1 if failed else 0


def bench(words: Sequence[str]) -> int:
    """Run the benchmarks; they write docs/benchmarks.md."""
    return subprocess.run([prepare("dev"), "benchmarks/run.py", *words], cwd=ROOT).returncode


def docs(words: Sequence[str]) -> int:
    """Write the generated pages of docs/reference anew."""
    return subprocess.run([prepare("dev"), "tools/generate_docs.py", *words], cwd=ROOT).returncode


def lock(words: Sequence[str]) -> int:
    """Write requirements/ anew from pyproject.toml, and try every system and Python they are for."""
    from tools.lock import lock_all  # here: `run` has no use for it

    inside = venv_python().with_name("uv")
    uv = shutil.which("uv") or (str(inside) if inside.exists() else None)
    if not uv:
        raise Stop("Locking needs uv: install it with `pipx install uv`, then start this again.")
    lock_all(ROOT, uv, words, say)
    return 0


COMMANDS: dict[str, Callable[[Sequence[str]], int]] = {
    "run": run, "test": test, "check": check, "bench": bench, "docs": docs, "lock": lock,
}  # fmt: skip


def main(words: Sequence[str]) -> int:
    """Carry out one command; return its exit code."""
    if not words or words[0] not in COMMANDS:
        say((__doc__ or "") + "\nCommands:")
        for name, command in COMMANDS.items():
            say(f"  {name:6} {(command.__doc__ or '').splitlines()[0]}")
        return 0 if words and words[0] in ("help", "--help", "-h") else 2
    try:
        return COMMANDS[words[0]](words[1:])
    except Stop as reason:
        print(reason, file=sys.stderr, flush=True)
        return 2
    except subprocess.CalledProcessError as error:
        print(f"This failed: {error}", file=sys.stderr, flush=True)
        return 1
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
