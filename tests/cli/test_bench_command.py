"""`powergood bench` starts the pages, or says what is in the way."""

from __future__ import annotations

import os
import socket
import stat
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from powergood.bench import Workshop
from powergood.cli import bench as bench_command
from powergood.errors import PowergoodError, WorkshopError

Run = Callable[..., Result]


def test_a_busy_port_is_told_with_another_to_try(run: Run, folder: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = run("bench", folder, "--port", str(port))
    assert done.exit_code == 1
    assert f"Port {port} is busy" in done.stderr
    assert "--port" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_an_unwritable_folder_is_told(run: Run, tmp_path: Path) -> None:
    tmp_path.chmod(stat.S_IRUSR | stat.S_IXUSR)
    done = run("bench", tmp_path / "new", "--port", str(_free_port()))
    tmp_path.chmod(stat.S_IRWXU)
    assert done.exit_code == 3
    assert "may not be written" in done.stderr


def test_a_folder_that_cannot_be_made_is_told(run: Run, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("Dear harbour")
    done = run("bench", tmp_path / "letter.txt" / "new", "--port", str(_free_port()))
    assert done.exit_code == 3
    assert "letter.txt" in done.stderr
    assert "Traceback" not in done.stderr


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_a_missing_or_empty_folder_becomes_a_workshop_and_an_existing_one_is_opened(tmp_path: Path) -> None:
    made = bench_command.open_or_create(tmp_path / "new")
    made.close()
    again = bench_command.open_or_create(tmp_path / "new")
    assert isinstance(again, Workshop)
    again.close()


def test_a_folder_of_other_things_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letters.txt").write_text("Dear harbour")
    with pytest.raises(WorkshopError):
        bench_command.open_or_create(tmp_path)
    assert [each.name for each in tmp_path.iterdir()] == ["letters.txt"]


def test_the_pages_are_kept_to_this_computer_unless_the_network_is_let_in() -> None:
    for host, shown in ((bench_command.HOME, "127.0.0.1"), (bench_command.EVERYWHERE, "0.0.0.0")):
        with bench_command.listening(host, _free_port()) as listener:
            assert listener.getsockname()[0] == shown


def test_a_port_that_may_not_be_used_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    class Forbidden(socket.socket):
        def bind(self, address: object) -> None:
            raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(bench_command.socket, "socket", Forbidden)
    with pytest.raises(PowergoodError, match="ports below 1024"):
        bench_command.listening("127.0.0.1", 80)


def test_the_pages_answer_at_the_printed_address(
    run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server itself is replaced by one request to the app that it was given."""
    import uvicorn
    from starlette.testclient import TestClient

    answers: list[int] = []

    def serve(self: uvicorn.Server, sockets: list[socket.socket]) -> None:
        port = sockets[0].getsockname()[1]
        client = TestClient(self.config.app, base_url=f"http://127.0.0.1:{port}")  # type: ignore[arg-type]
        answers.append(client.get("/").status_code)

    monkeypatch.setattr(uvicorn.Server, "run", serve)
    port = _free_port()
    done = run("bench", folder, "--port", str(port))
    assert done.exit_code == 0, done.output
    assert f"http://127.0.0.1:{port}/" in done.output
    assert answers == [200]
