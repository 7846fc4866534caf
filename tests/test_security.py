"""Nothing let in: private files, no network, no code from data, SQL by bound parameters only."""

from __future__ import annotations

import ast
import os
import re
import stat
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.journeys.test_terminal import Terminal, start
from tests.storms.attack import PATIENCE_S, begin

ROOT = Path(__file__).resolve().parent.parent
ROOMS = ("app", "core", "storage")

NO_NETWORK = """
import os, socket, sys

def refuse(name, arguments):
    # a pair of joined sockets is how an event loop wakes itself; it reaches nobody
    if name in ("socket.connect", "socket.bind", "socket.sendto", "socket.sendmsg",
                "socket.getaddrinfo", "socket.gethostbyname", "socket.gethostbyaddr",
                "urllib.Request", "http.client.connect", "ftplib.connect", "smtplib.connect",
                "webbrowser.open"):
        sys.stderr.write(f"NETWORK {name} {arguments!r}\\n")
        os._exit(99)
    if name == "socket.__new__" and arguments[1] not in (-1, socket.AF_UNIX):
        sys.stderr.write(f"NETWORK {name} {arguments!r}\\n")
        os._exit(99)

sys.addaudithook(refuse)
"""
"""Ends the process with 99 at the first thing that could reach a network (PEP 578 audit events)."""

PROGRAM = f"{NO_NETWORK}\nfrom app.cli.main import main\nsys.exit(main())"
SCREENS = f"{NO_NETWORK}\nfrom pathlib import Path\nfrom app.tui import run\nsys.exit(run(Path(sys.argv[1])))"  # noqa: E501


def sources() -> Iterator[tuple[Path, ast.Module]]:
    """Every module of the program."""
    for room in ROOMS:
        for path in sorted((ROOT / room).rglob("*.py")):
            yield path.relative_to(ROOT), ast.parse(path.read_text(encoding="utf-8"))


def called(node: ast.Call) -> str:
    """The dotted name of what is called, as far as it is one."""
    return ast.unparse(node.func)


# no code from data

IMPORTS = ("pickle", "marshal", "shelve", "dill", "joblib", "yaml", "code", "codeop", "ctypes",
           "socket", "ssl", "http", "urllib.request", "ftplib", "smtplib", "requests", "httpx",
           "webbrowser", "xmlrpc", "multiprocessing")  # fmt: skip
CALLS = ("eval", "exec", "compile", "__import__", "os.system", "os.popen", "pickle.loads",
         "subprocess.run", "subprocess.Popen", "np.load", "numpy.load")  # fmt: skip


def forbidden_in(tree: ast.Module) -> Iterator[str]:
    """What a module must not import or call."""
    for node in ast.walk(tree):
        names = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
        for name in names:
            if any(name == bad or name.startswith(f"{bad}.") for bad in IMPORTS):
                yield f"imports {name}"
        if isinstance(node, ast.Call) and called(node) in CALLS:
            yield f"calls {called(node)}"


def test_no_code_from_data_and_no_way_out() -> None:
    assert {str(path): found for path, tree in sources() if (found := [*forbidden_in(tree)])} == {}


@pytest.mark.parametrize(
    "text",
    ["import pickle", "from urllib.request import urlopen", "eval(x)", "import http.client",
     "import numpy as np\nnp.load(x)"],
)  # fmt: skip
def test_the_search_finds_what_it_is_for(text: str) -> None:
    assert [*forbidden_in(ast.parse(text))]


# SQL by bound parameters only

RUNS_SQL = (
    "execute",
    "executemany",
    "executescript",
    "exec_driver_sql",
    "text",
    "scalar",
    "scalars",
)
NAMES_ONLY = {
    # names of tables and columns cannot be bound; these come from the schema, not from a person
    "storage/salvage.py", "storage/mending.py",
    # a pragma takes no bound value; these are constants of ours
    "storage/engine.py", "storage/migrations/versions/schema_0001.py",
}  # fmt: skip


def built_sql(tree: ast.Module) -> Iterator[str]:
    """Calls that run SQL put together from parts."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or called(node).split(".")[-1] not in RUNS_SQL:
            continue
        for argument in node.args[:1]:
            parts = [part for part in ast.walk(argument) if isinstance(part, ast.JoinedStr)]
            joined = isinstance(argument, ast.BinOp) and isinstance(argument.op, (ast.Add, ast.Mod))
            formatted = isinstance(argument, ast.Call) and called(argument).endswith(".format")
            if parts or joined or formatted:
                yield ast.unparse(node)[:80]


def test_sql_is_never_put_together_from_what_was_typed() -> None:
    found = {str(path): calls for path, tree in sources() if (calls := [*built_sql(tree)])}
    assert set(found) <= NAMES_ONLY, found


@pytest.mark.parametrize(
    "text",
    ["c.execute(f'SELECT {x}')", "c.execute('a' + x)", "text('%s' % x)",
     "c.execute('{}'.format(x))"],
)  # fmt: skip
def test_that_search_finds_what_it_is_for(text: str) -> None:
    assert [*built_sql(ast.parse(text))]


# no network at all


def run(data: Path, *words: str, code: str = PROGRAM) -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "DONEBY_DATA": str(data), "PYTHONPATH": str(ROOT)}
    return subprocess.run(
        [sys.executable, "-c", code, *words], env=environment, capture_output=True, check=False,
        cwd=data.parent, timeout=2 * PATIENCE_S, stdin=subprocess.DEVNULL,
    )  # fmt: skip


def test_the_guard_ends_a_program_that_reaches_out(tmp_path: Path) -> None:
    for line in ("socket.create_connection(('127.0.0.1', 9))", "socket.getaddrinfo('x', 1)",
                 "socket.socket(socket.AF_INET, socket.SOCK_DGRAM)"):  # fmt: skip
        done = run(tmp_path / "x.db", code=f"{NO_NETWORK}\n{line}")
        assert done.returncode == 99 and done.stderr.startswith(b"NETWORK"), line


def test_every_command_works_without_a_network(tmp_path: Path) -> None:
    data, sample = tmp_path / "cooks.db", ROOT / "sample_sessions" / "duck-autumn-afternoon.json"
    for words in (
        ("start", "duck", "--weight", "2.3kg", "--probe", "breast", "--meal", "23:30",
         "--at", "-5m", "--unit", "C"),
        ("say", "--yes", "150 8"),
        ("status",), ("status", "--json"), ("import", str(sample)), ("ledger",),
        ("ledger", "--json"),
        ("export", "2", "-o", "out.json"), ("hindcast", "2", "--at", "60"), ("doctor",),
        ("dayline", "ham", "--weight", "5kg", "--meal", "18:00"), ("help", "line"),
        ("demo", "--list"), ("doctor", "--salvage", "new.db"), ("levers",), ("schema",),
        ("export", "2", "--csv", "out.csv"), ("brine", "120 g salt", "2 L water"),
        ("report", "2", "-o", "out.html"),
    ):  # fmt: skip
        done = run(data, *words)
        # a report needs an extra that may not be installed; it says so then
        assert done.returncode == 0 or words[0] == "report", (words, done.stderr)
        assert b"NETWORK" not in done.stderr


@pytest.fixture
def terminals() -> Iterator[list[Terminal]]:
    opened: list[Terminal] = []
    yield opened
    for terminal in opened:
        terminal.close()


@pytest.mark.skipif(sys.platform == "win32", reason="a pseudo-terminal")
def test_the_screens_work_without_a_network(tmp_path: Path, terminals: list[Terminal]) -> None:
    data = tmp_path / "cooks.db"
    begin(data)
    terminal = start(data, SCREENS)
    terminals.append(terminal)
    terminal.wait_for(b"NEXT LOOK")
    terminal.write("302 45\r")
    terminal.wait_for(b"saved: pit 302")
    for key in ("\x1bOP", "\x1b", "\x1bOR", "\x1b", "\x1b[15~", "\x1b[19~"):  # F1, F3, F5, F8
        terminal.write(key)
        terminal.read(0.4)
    terminal.write("\x11")
    assert terminal.finish() == 0
    assert b"NETWORK" not in terminal.output


# private files


@pytest.mark.skipif(os.name != "posix", reason="POSIX permissions")
def test_all_that_a_session_leaves_is_for_the_owner_alone(
    tmp_path: Path, terminals: list[Terminal]
) -> None:
    before = os.umask(0)
    try:
        data = tmp_path / "new" / "deep" / "cooks.db"
        assert run(data.parent.parent.parent / "x.db", "--version").returncode == 0
        data.parent.mkdir(parents=True, mode=0o755)
        data = data.parent / "mine" / "cooks.db"
        environment = {**os.environ, "DONEBY_DATA": str(data), "PYTHONPATH": str(ROOT)}
        for words in (("start", "duck", "--weight", "2kg"), ("say", "note x"), ("doctor",)):
            subprocess.run([sys.executable, "-c", PROGRAM, *words], env=environment, check=True,
                           capture_output=True)  # fmt: skip
        terminal = start(data)
        terminals.append(terminal)
        terminal.wait_for(b"NEXT LOOK")
        terminal.write("\x11")
        assert terminal.finish() == 0
    finally:
        os.umask(before)
    found = {path: stat.S_IMODE(path.stat().st_mode) for path in data.parent.rglob("*")}
    assert len(found) >= 4
    for path, mode in {**found, data.parent: stat.S_IMODE(data.parent.stat().st_mode)}.items():
        assert mode == (0o700 if path.is_dir() else 0o600), path


def test_temporary_files_are_made_by_the_safe_ways() -> None:
    unsafe = ("tempfile.mktemp", "mktemp", "os.tmpnam", "os.tempnam")
    fixed = re.compile(r"['\"]/(tmp|var/tmp)\b")
    for path, tree in sources():
        calls = [called(node) for node in ast.walk(tree) if isinstance(node, ast.Call)]
        assert not set(calls) & set(unsafe), path
        assert not fixed.search((ROOT / path).read_text(encoding="utf-8")), path


# dependencies


def test_every_dependency_has_a_lower_and_an_upper_bound() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"], *(
        one for extra in project["optional-dependencies"].values() for one in extra
    )]  # fmt: skip
    loose = [
        one for one in wanted
        if not one.startswith(("tzdata", "doneby["))  # zones are data: the newest is the best
        and not re.search(r">=[\d.]+,<[\d.]+", one)
    ]  # fmt: skip
    assert loose == []
    assert any(one.startswith("tzdata>=") for one in wanted)


def test_the_state_of_the_screens_follows_no_planted_link(tmp_path: Path) -> None:
    """In a folder that others may write to, a file of a guessed name must not lead elsewhere."""
    from app.screen_state import ScreenState, load_state, save_state, state_path

    data, victim = tmp_path / "cooks.db", tmp_path / "victim"
    victim.write_text("mine")
    for name in (f"cooks-screen.{os.getpid()}.new", "cooks-screen.json"):
        (tmp_path / name).symlink_to(victim)
    save_state(data, ScreenState("noon"))
    assert victim.read_text() == "mine"
    assert load_state(data).theme == "noon"
    assert not state_path(data).is_symlink()
    assert stat.S_IMODE(state_path(data).stat().st_mode) == 0o600
