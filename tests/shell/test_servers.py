"""JupyterLab and the plain pages as real servers on this machine: who gets in, what runs, how they end."""

import asyncio
import http.client
import json
import os
import re
import signal
import subprocess
import sys
import time
from contextlib import ExitStack, chdir, closing, contextmanager
from pathlib import Path

import pytest
from local_ports import free_port, listens
from typer.testing import CliRunner

from histkit.shell import notebooks, servers
from histkit.shell.main import app

pytest.importorskip("voila")
TOKEN = "a-token-of-this-test"
START = "/voila/render/0-start.ipynb"
PLANTED = (
    "voila",
    "jupyterlab",
    "jupyter_server",
    "tornado",
    "ipykernel_launcher",
    "ipykernel",
    "pandas",
    "numpy",
    "histkit",
    "json",
)
"""Names of modules that a server, a kernel or a notebook imports."""
SETTINGS = ("jupyter_config", "jupyter_server_config", "jupyter_lab_config", "ipython_config", "ipython_kernel_config")


def port_words(kind, port):
    """The words that hold a server to a port: where it is taken, the server ends and looks for no other."""
    program = "Voila" if kind == "pages" else "ServerApp"
    return f"--{program}.port={port}", f"--{program}.port_retries=0", "--no-browser"


def wait_until(condition, seconds=120, what="it"):
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, f"waited {seconds} s in vain for {what}"
        time.sleep(0.1)


class Server:
    """How to ask a server at a port of this machine."""

    def __init__(self, port, process):
        self.port, self.process = port, process

    def get(self, path, token="", cookie="", **headers):
        """(status, headers, words) of a page."""
        if token:
            headers["Authorization"] = f"token {token}"
        if cookie:
            headers["Cookie"] = cookie
        with closing(http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)) as line:
            line.request("GET", path, headers=headers)
            answer = line.getresponse()
            return answer.status, answer.headers, answer.read().decode()


@contextmanager
def served(kind, folder, *more, token=TOKEN, stderr=subprocess.DEVNULL):
    """A server started in the maker's folder, as `histkit lab .` does it."""
    port = free_port()
    with ExitStack() as stack:
        with chdir(folder):
            server = servers.started(kind, folder, *port_words(kind, port), *more, token=token, stderr=stderr)
            process = stack.enter_context(server)
        wait_until(lambda: listens(port) or process.poll() is not None, what="the server")
        assert process.poll() is None, "the server ended"
        yield Server(port, process)


def plant(folder, trace):
    """Lay modules and settings into `folder` that leave a file in `trace` when they are run."""
    for name in (*PLANTED, *SETTINGS):
        (folder / f"{name}.py").write_text(f"open({str(trace / name)!r}, 'w').close()\n", encoding="utf-8")
    (folder / "voila.json").write_text(json.dumps({"Voila": {"token": "", "auto_token": False}}), encoding="utf-8")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    there = tmp_path_factory.mktemp("maker")
    notebooks.put(there)
    return there


@pytest.fixture(scope="module")
def trace(folder, tmp_path_factory):
    traces = tmp_path_factory.mktemp("traces")
    plant(folder, traces)
    return traces


@pytest.fixture(scope="module")
def pages(folder, trace):
    with served("pages", folder) as server:
        yield server


@pytest.fixture(scope="module")
def lab(folder, trace):
    with served("lab", folder) as server:
        yield server


# -- who gets in -------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ["/", START, "/voila/tree/", "/voila/api/contents/"])
def test_plain_pages_want_their_token(pages, path):
    status, headers, words = pages.get(path)
    assert status in (302, 403) and "jupyter-config-data" not in words
    assert status == 403 or headers["Location"].startswith("/login")
    assert pages.get(path, token="another")[0] in (302, 403)
    assert pages.get(path, token=TOKEN)[0] == 200


def test_the_token_in_the_address_gives_a_cookie_that_opens_the_other_pages(pages):
    status, headers, words = pages.get(f"{START}?token={TOKEN}")
    assert status == 200 and "histkit" in words
    cookie = headers["Set-Cookie"].partition(";")[0]
    assert pages.get("/voila/tree/", cookie=cookie)[0] == 200
    assert (
        "frame-ancestors 'self'" in headers["Content-Security-Policy"]
        and "default-src 'self'" in headers["Content-Security-Policy"]
    )


@pytest.mark.parametrize("path", ["/", START, "/voila/api/contents/", "/login"])
def test_a_foreign_host_is_refused_even_with_the_token(pages, path):
    """A page elsewhere whose name is made to lead to this machine sends its own name as Host."""
    for host in (f"evil.example:{pages.port}", f"192.168.7.7:{pages.port}", f"localhost.evil.example:{pages.port}"):
        assert pages.get(path, token=TOKEN, Host=host)[0] == 403
    assert pages.get("/", token=TOKEN, Host=f"localhost:{pages.port}")[0] == 200


def test_no_file_of_the_folder_is_served_without_the_token(pages, folder):
    (folder / "pan.png").write_bytes(b"a picture of the maker's")
    assert pages.get("/voila/files/pan.png")[0] == 403
    assert pages.get("/voila/files/my-formula.json", token=TOKEN)[0] == 403


def socket_to(server, kernel, token="", **headers):
    """The HTTP status of an attempt to open the socket of a kernel; 101 where it opens."""
    from tornado.httpclient import HTTPClientError, HTTPRequest
    from tornado.websocket import websocket_connect

    if token:
        headers["Authorization"] = f"token {token}"

    async def attempt():
        address = f"ws://127.0.0.1:{server.port}/api/kernels/{kernel}/channels"
        try:
            (await websocket_connect(HTTPRequest(address, headers=headers))).close()
        except HTTPClientError as error:
            return error.code
        return 101

    return asyncio.run(attempt())


def test_the_socket_of_a_kernel_wants_the_token_the_host_and_the_origin(pages):
    _, headers, words = pages.get(f"{START}?token={TOKEN}")
    browser = headers["Set-Cookie"].partition(";")[0]
    kernel = re.search(r'"kernelId": "([0-9a-f-]{36})"', words)[1]
    assert socket_to(pages, kernel) == 403
    assert socket_to(pages, kernel, token=TOKEN, Host=f"evil.example:{pages.port}") == 403
    assert socket_to(pages, kernel, Cookie=browser, Origin="http://evil.example") == 403
    assert socket_to(pages, kernel, Cookie=browser, Origin=f"http://127.0.0.1:{pages.port}") == 101


def test_jupyterlab_wants_its_token_and_refuses_a_foreign_host(lab):
    assert lab.get("/api/contents")[0] == 403
    assert lab.get("/lab")[0] == 302
    assert lab.get("/api/contents", token=TOKEN)[0] == 200
    assert lab.get("/api/contents", token=TOKEN, Host="evil.example")[0] == 403


def test_jupyterlab_makes_a_token_of_its_own(folder, monkeypatch):
    monkeypatch.delenv("JUPYTER_TOKEN", raising=False)
    with served("lab", folder, token="") as server:
        assert server.get("/api/contents")[0] == 403 and server.get("/lab")[0] == 302


def test_nobody_but_this_machine_can_ask(pages, lab):
    """They listen at the loopback address alone."""
    table = Path("/proc/net/tcp")
    if not table.exists():
        pytest.skip("the system does not say in /proc who listens where")
    for port in (pages.port, lab.port):
        at = {
            row.split()[1]
            for row in table.read_text().splitlines()[1:]
            if row.split()[1].endswith(f":{port:04X}") and row.split()[3] == "0A"
        }
        assert at == {f"0100007F:{port:04X}"}


# -- what runs ---------------------------------------------------------------------------------------------------------------


def test_no_code_of_the_folder_runs(pages, lab, trace):
    """Modules and settings lie in the maker's folder under the names of those that server, kernel and notebook load."""
    status, _, words = pages.get("/voila/render/5-table-and-pictures.ipynb", token=TOKEN)
    assert status == 200 and "vnd.jupyter.widget-view" in words
    assert lab.get("/api/contents", token=TOKEN)[0] == 200
    assert sorted(path.name for path in trace.iterdir()) == []


def test_a_kernel_in_the_folder_imports_nothing_from_it(folder, trace):
    from jupyter_client.manager import start_new_kernel

    manager, client = start_new_kernel(cwd=str(folder), env=servers.safe_environment())
    try:
        shown = []
        code = "import json, numpy, pandas, histkit, os; print(os.getcwd(), pandas.DataFrame.__name__)"
        reply = client.execute_interactive(
            code, timeout=60, output_hook=lambda message: shown.append(message["content"].get("text", ""))
        )
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    assert reply["content"]["status"] == "ok" and f"{folder.resolve()} DataFrame" in "".join(shown)
    assert sorted(path.name for path in trace.iterdir()) == []


def test_a_python_path_that_leads_into_the_folder_is_left_out(monkeypatch):
    """An empty entry means the folder where a program works."""
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(["", "/own/modules", "lib", "."]))
    assert servers.safe_environment()["PYTHONPATH"] == "/own/modules" and servers.safe_environment()["PYTHONSAFEPATH"] == "1"
    monkeypatch.setenv("PYTHONPATH", ":")
    assert "PYTHONPATH" not in servers.safe_environment()


def test_a_page_beyond_the_kernels_allowed_is_refused_in_a_sentence(tmp_path):
    notebooks.put(tmp_path)
    with (tmp_path / "log").open("w") as log, served("pages", tmp_path, "--FewKernels.most=2", stderr=log) as server:
        assert server.get(START, token=TOKEN)[0] == server.get(START, token=TOKEN)[0] == 200
        status, _, words = server.get(START, token=TOKEN)
        assert status == 503 and "2 pages are open, and no more can be. Close some of them" in words and "Traceback" not in words
    assert f"Culling kernels with idle durations > {servers.IDLE} seconds" in (tmp_path / "log").read_text(encoding="utf-8")


def test_a_kernel_that_no_page_uses_is_ended():
    """A browser that was closed at once could not say so."""
    from histkit.shell.kernels import FewKernels

    async def left_alone(manager):
        await manager.start_kernel()
        for _ in range(300):
            if not manager.list_kernel_ids():
                return True
            await asyncio.sleep(0.1)
        return False

    manager = FewKernels(cull_idle_timeout=1, cull_interval=1)
    try:
        assert asyncio.run(left_alone(manager))
    finally:
        asyncio.run(manager.shutdown_all(now=True))
    assert 60 <= servers.IDLE <= 3600


def test_many_pages_at_once_start_no_more_kernels_than_allowed():
    """Kernels that are still being started count."""
    from tornado.web import HTTPError

    from histkit.shell.kernels import FewKernels

    async def crowd(manager):
        return await asyncio.gather(*(manager.start_kernel() for _ in range(6)), return_exceptions=True)

    manager = FewKernels(most=2)
    try:
        answers = asyncio.run(crowd(manager))
    finally:
        asyncio.run(manager.shutdown_all(now=True))
    assert [answer.status_code for answer in answers if isinstance(answer, HTTPError)] == [503] * 4
    assert len([answer for answer in answers if isinstance(answer, str)]) == 2


# -- how they end ------------------------------------------------------------------------------------------------------------


def offspring(pid):
    """The ids of all processes that `pid` started, and theirs."""
    try:
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    except OSError:
        return []
    return [int(child) for child in children] + [more for child in children for more in offspring(child)]


def alive(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="looks for processes in /proc")
@pytest.mark.parametrize("way", [signal.SIGKILL, signal.SIGTERM], ids=["killed", "terminated"])
@pytest.mark.parametrize("kind", ["pages", "lab"])
def test_the_server_ends_with_its_parent(tmp_path, kind, way):
    notebooks.put(tmp_path)
    port = free_port()
    code = (
        "import sys, pathlib; from histkit.shell import servers\n"
        f"with servers.started({kind!r}, pathlib.Path({str(tmp_path)!r}), *{port_words(kind, port)!r}, token={TOKEN!r}) as server: server.wait()"
    )
    parent = subprocess.Popen([sys.executable, "-c", code], stderr=subprocess.DEVNULL)
    try:
        wait_until(lambda: listens(port), what="the server")
        server = Server(port, parent)
        if kind == "pages":
            assert server.get(START, token=TOKEN)[0] == 200  # so that there is a kernel
        started = offspring(parent.pid)
        assert len(started) >= (2 if kind == "pages" else 1)
    finally:
        parent.send_signal(way)
        parent.wait()
    wait_until(lambda: not any(map(alive, started)) and not listens(port), 30, "the server and its kernels to end")


def fake_server(monkeypatch, code):
    """Put `code` in the place of the server's program."""
    monkeypatch.setattr(servers, "program", lambda kind, folder, *more: [sys.executable, "-c", code])


def test_plain_pages_are_opened_with_their_token(tmp_path, monkeypatch):
    """A server that comes up is named with its address and opened, once; one that ends at once is not waited for."""
    notebooks.put(tmp_path)
    opened, said = [], []
    monkeypatch.setattr("webbrowser.open", opened.append)
    up = (
        "import os, sys; at = 'http://127.0.0.1:4711/'\n"
        "print('Voila is running at:', at, at + ' again', sep='\\n', file=sys.stderr); print(os.environ['JUPYTER_TOKEN'], file=sys.stderr)"
    )
    fake_server(monkeypatch, up)
    assert servers.open_app(tmp_path, say=said.append) == 0
    (address,) = opened
    place, _, token = address.partition("?token=")
    assert place == "http://127.0.0.1:4711/", "one address: the root leads to the start page"
    assert len(token) >= 40 and token in said, "the server is given the same token"
    assert any(address in line for line in said) and "Voila is running at:" in said
    servers.open_app(tmp_path, browser=False, say=said.append)
    assert len(opened) == 1
    fake_server(monkeypatch, "raise SystemExit(3)")
    assert servers.open_app(tmp_path, say=said.append) == 3 and len(opened) == 1


def test_each_start_has_a_token_of_its_own(tmp_path, monkeypatch):
    fake_server(monkeypatch, "import os, sys; print(os.environ['JUPYTER_TOKEN'], file=sys.stderr)")
    said = []
    servers.open_app(tmp_path, browser=False, say=said.append)
    servers.open_app(tmp_path, browser=False, say=said.append)
    assert len(set(said)) == 2


@pytest.mark.parametrize("opener", [servers.open_lab, servers.open_app])
def test_a_stopped_server_is_waited_for(tmp_path, monkeypatch, opener):
    """Ctrl+C: the server is ended, not left running."""
    # It says nothing until it is stopped, so that only the waiting for its end is interrupted.
    fake_server(monkeypatch, "import os, sys; os.close(2); sys.stdin.read(); os._exit(5)")
    wait, stops = subprocess.Popen.wait, iter([KeyboardInterrupt])

    def interrupted(process, timeout=None):
        for stop in stops:
            raise stop
        return wait(process, timeout)

    monkeypatch.setattr("subprocess.Popen.wait", interrupted)
    assert opener(tmp_path) == 5


def test_jupyterlab_is_the_program_in_the_folder(tmp_path, monkeypatch):
    """And its exit code is handed on."""
    begin = [sys.executable, "-m", "histkit.shell.served", "lab", str(tmp_path.resolve())]
    assert servers.program("lab", tmp_path, "--no-browser") == [*begin, "--no-browser"]
    asked = []

    def noted(kind, folder, *more):
        asked.append((kind, folder, more))
        return [sys.executable, "-c", "raise SystemExit(7)"]

    monkeypatch.setattr(servers, "program", noted)
    assert servers.open_lab(tmp_path, browser=False) == servers.open_lab(tmp_path) == 7
    assert asked == [("lab", tmp_path, ("--no-browser",)), ("lab", tmp_path, ())]


def test_the_bar_leads_to_every_notebook_and_to_nothing_else(tmp_path):
    notebooks.put(tmp_path)
    own = {"metadata": {"histkit": {"bar": "<b>{% mine %}</b>"}}}
    (tmp_path / "9-mine.ipynb").write_text(json.dumps(own), encoding="utf-8")
    (tmp_path / "9-{{evil}}.ipynb").write_text(json.dumps(own), encoding="utf-8")
    (tmp_path / "9-plain.ipynb").write_text("{}", encoding="utf-8")
    (tmp_path / "9-broken.ipynb").write_text("{", encoding="utf-8")
    bar = servers.bar(tmp_path)
    words = re.findall(r">([^<>]+)</a>", bar)
    assert words == ["Start", "1 Read", "2 Replace", "3 Press", "4 Weigh", "5 Show", "6 Compare", "7 Scent", "8 Shade", "&lt;b&gt; mine &lt;/b&gt;"]
    assert "evil" not in bar and "<b>" not in bar and bar.count('aria-current="page"') == len(words)


def test_what_runs_by_itself_is_ours_alone():
    """The small extension of JupyterLab runs a notebook only where each cell of code is a call of one of our panels."""
    script = (servers.HERE / "labextensions" / "histkit-opening" / "static" / "opening.js").read_text(encoding="utf-8")
    ours = re.compile(re.search(r"const OURS = /(.+)/;", script)[1])
    for path in notebooks.shipped().glob("*.ipynb"):
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        assert all(ours.fullmatch("".join(cell["source"])) for cell in cells if cell["cell_type"] == "code"), path.name
    assert not ours.search("import os\n# The code of this page: nothing to do here.\nfrom histkit.panels import x\n\nx()")
    assert not ours.search("# The code of this page: nothing to do here.\nfrom histkit.panels import x\n\nx()\nimport os")


@pytest.mark.parametrize("root", [True, False])
def test_the_words_for_jupyterlab(tmp_path, monkeypatch, root):
    notebooks.put(tmp_path)
    monkeypatch.setattr(os, "geteuid", lambda: 0 if root else 1000)
    words = servers.command_line("lab", tmp_path)
    assert f"--ServerApp.root_dir={tmp_path}" in words and "--ServerApp.ip=127.0.0.1" in words
    assert "--LabApp.default_url=/lab/tree/0-start.ipynb" in words and ("--allow-root" in words) is root
    assert "--LanguageServerManager.autodetect=False" in words, "nor is a program run that lies in the folder's node_modules"


def test_plain_pages_without_voila_get_a_kind_sentence(tmp_path, monkeypatch):
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    answer = CliRunner().invoke(app, ["lab", str(tmp_path), "--app"])
    assert answer.exit_code == 1 and "Traceback" not in answer.output
    assert "histkit[app]" in answer.stderr and "JupyterLab" in answer.stderr
    assert (tmp_path / "0-start.ipynb").exists(), "the notebooks are there all the same"
