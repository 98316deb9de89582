"""The program as people start it: in a process of its own, in a folder of its own, over HTTP."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager
from dataclasses import dataclass
from http.client import HTTPConnection
from http.cookies import SimpleCookie
from pathlib import Path
from urllib.parse import urlencode

ROOT = Path(__file__).resolve().parents[1]
MANAGE = (sys.executable, "manage.py")
# What `make serve` runs, without its looking for what is to be installed.
MAKE_SERVE = ("make", "-s", "-o", ".venv/.ok", "serve", f"BIN={Path(sys.executable).parent}")
_OURS = ("WATERSIDE_", "DJANGO_", "DATABASE_URL", "PORT", "MAKE")
_PATIENCE_SECONDS = 120


def _environment(data: Path, more: Mapping[str, str]) -> dict[str, str]:
    """Return the environment of an installation: nothing of the tests' own settings."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith(_OURS)}
    return {**kept, "WATERSIDE_DATA": str(data), **more}


def manage(data: Path, *words: str, **more: str) -> "subprocess.CompletedProcess[str]":
    """Run one command of an installation to its end."""
    return subprocess.run(
        [*MANAGE, *words], cwd=ROOT, env=_environment(data, more),
        capture_output=True, text=True, check=False, timeout=_PATIENCE_SECONDS,
    )  # fmt: skip


@dataclass(frozen=True)
class Answer:
    """What the server answered; `content` as Django's own responses have it."""

    status_code: int
    location: str
    content: bytes


class Visitor:
    """A browser that keeps its cookies and follows nothing by itself."""

    def __init__(self, port: int, **cookies: str) -> None:
        self._port, self.cookies = port, cookies

    def get(self, path: str) -> Answer:
        return self._ask("GET", path, "")

    def post(self, path: str, sent: Mapping[str, str]) -> Answer:
        """Send a form, as from a page that was opened before."""
        if "csrftoken" not in self.cookies:
            self.get("/login")
        return self._ask("POST", path, urlencode(sent))

    def _ask(self, method: str, path: str, body: str) -> Answer:
        headers = {"Cookie": "; ".join(f"{key}={value}" for key, value in self.cookies.items())}
        if method == "POST":
            headers["Content-Type"] = "application/x-www-form-urlencoded"
            headers["X-CSRFToken"] = self.cookies["csrftoken"]
        with closing(HTTPConnection("127.0.0.1", self._port, timeout=30)) as line:
            line.request(method, path, body, headers)
            told = line.getresponse()
            for each in told.headers.get_all("Set-Cookie", []):
                self.cookies |= {k: m.value for k, m in SimpleCookie(each).items()}
            return Answer(told.status, told.headers.get("Location", ""), told.read())


@dataclass(frozen=True, kw_only=True)
class Served:
    """A server that answers: its port, and where its console is written."""

    port: int
    log: Path

    @property
    def console(self) -> str:
        return self.log.read_text()

    def visitor(self, **cookies: str) -> Visitor:
        return Visitor(self.port, **cookies)


@contextmanager
def served(
    data: Path, command: tuple[str, ...] = (*MANAGE, "start"), **more: str
) -> Iterator[Served]:
    """Start the program on a data folder; it is stopped, and its workers with it, at the end."""
    with closing(socket.create_server(("127.0.0.1", 0))) as free:
        port = free.getsockname()[1]
    log = data.with_name(f"{data.name}-console")
    with log.open("w") as console:
        process = subprocess.Popen(
            command, cwd=ROOT, env=_environment(data, {**more, "PORT": str(port)}),
            stdout=console, stderr=subprocess.STDOUT, start_new_session=True,
        )  # fmt: skip
        try:
            _wait(process, port, log)
            yield Served(port=port, log=log)
        finally:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGTERM)
            process.wait(30)


def _wait(process: "subprocess.Popen[bytes]", port: int, log: Path) -> None:
    """Wait until the server answers; what it printed is told where it ends before."""
    end = time.monotonic() + _PATIENCE_SECONDS
    while time.monotonic() < end:
        assert process.poll() is None, log.read_text()
        try:
            Visitor(port).get("/login")
        except OSError:
            time.sleep(0.2)
        else:
            return
    raise AssertionError(f"no answer in {_PATIENCE_SECONDS} s: {log.read_text()}")
