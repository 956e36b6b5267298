"""The display that is asked before Qt: sockets of our own stand for it."""

from __future__ import annotations

import socket
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from pennyspeed.display import has_display

FIRST_X_PORT = 6000  # X(7): display N listens on port 6000 + N

pytestmark = pytest.mark.skipif(
    not hasattr(socket, "AF_UNIX"), reason="no sockets by name, and no such displays either"
)


@pytest.fixture(autouse=True)
def bare(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM", "XDG_RUNTIME_DIR"):
        monkeypatch.delenv(name, raising=False)


@pytest.fixture
def x_number() -> Iterator[int]:
    with socket.create_server(("127.0.0.1", 0)) as server:
        yield server.getsockname()[1] - FIRST_X_PORT


def test_without_a_name_there_is_none() -> None:
    assert not has_display()


def test_other_systems_need_no_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "win32")
    assert has_display()


def test_a_platform_that_somebody_chose_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    assert has_display()


def test_an_x_display_counts_while_it_answers(
    monkeypatch: pytest.MonkeyPatch, x_number: int
) -> None:
    for name in (f"127.0.0.1:{x_number}", f"127.0.0.1:{x_number}.0", f"tcp/127.0.0.1:{x_number}"):
        monkeypatch.setenv("DISPLAY", name)
        assert has_display(), name


def test_an_x_display_that_is_gone_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        number = server.getsockname()[1] - FIRST_X_PORT
    for name in (f"127.0.0.1:{number}", ":987654", "unix:987654", "nonsense", "127.0.0.1:70000"):
        monkeypatch.setenv("DISPLAY", name)
        assert not has_display(), name


@pytest.mark.skipif(sys.platform != "linux", reason="names without a file are Linux's own")
def test_an_x_display_counts_where_it_has_a_name_but_no_file(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # unix(7), abstract sockets: a null byte, then a name, here that of X's usual file.
    monkeypatch.setenv("DISPLAY", ":987653")
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as server:
        server.bind("\0/tmp/.X11-unix/X987653")
        server.listen()
        assert has_display()
    assert not has_display()


def test_a_wayland_display_counts_while_it_answers(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-7")
    assert not has_display()
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as server:
        server.bind(str(tmp_path / "wayland-7"))
        server.listen()
        assert has_display()
        monkeypatch.setenv("WAYLAND_DISPLAY", str(tmp_path / "wayland-7"))
        assert has_display(), "a whole path is one, too"
    assert not has_display()
