"""README.md and DEVELOPERS.md say what the program does and what the tree holds."""

from __future__ import annotations

import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from app.cli.parser import build_parser
from app.line.card import card_text
from app.samples import sample_files
from storage.files import FILE_NAME, VARIABLE
from tests.rooms import BEGIN, END, modules, purpose

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
CI = (ROOT / ".ci" / "run").read_text(encoding="utf-8")

PATH = re.compile(r"`((?:app|core|storage|tests|sample_sessions|\.ci)/[\w./-]*)`")


def fenced(text: str, language: str) -> list[str]:
    """What stands in the fenced blocks of one language."""
    return re.findall(rf"^```{language}\n(.*?)\n```$", text, re.DOTALL | re.MULTILINE)


def test_the_card_is_the_programs_own() -> None:
    assert fenced(README, "text") == [card_text()]


def test_the_two_commands_are_one_line_each() -> None:
    demo, tests = fenced(README, "sh")
    for command in (demo, tests):
        assert "\n" not in command
        assert command.startswith("python3 -m venv .venv && .venv/bin/pip install -q ")
    assert demo.endswith(" && .venv/bin/doneby demo")
    assert tests.endswith(" && .venv/bin/pytest")


def test_ci_runs_the_test_command_of_the_readme() -> None:
    (pattern,) = re.findall(r"grep -E '(.*?)' README\.md", CI)
    lines = [line for line in README.splitlines() if re.search(pattern, line)]
    assert lines == fenced(README, "sh")[1:]


def test_the_commands_listed_are_those_there_are(capsys: pytest.CaptureFixture[str]) -> None:
    """A newer command or two may be missing; ``doneby --help`` lists them all."""
    with pytest.raises(SystemExit):
        build_parser().parse_args(["--help"])
    there = set(re.findall(r"^    (\w+)  ", capsys.readouterr().out, re.MULTILINE))
    listed = set(re.findall(r"^\| `doneby (\w+)", README, re.MULTILINE))
    assert listed <= there
    assert len(there - listed) <= 2, there - listed


def test_the_data_file_and_its_variable_are_named() -> None:
    assert README.count(f"doneby/{FILE_NAME}") == 2
    assert f"`{VARIABLE}`" in README
    assert all(f"sample_sessions/{name}" not in README for name in sample_files())


def test_the_cautions_are_there() -> None:
    for words in ("undercooked poultry", "several spots", "thermometer you have verified",
                  "4 °C / 40 °F", "carbon monoxide", "outdoors only", "hot fat",
                  "never declares food safe", "local codes", "thermometer's maker"):  # fmt: skip
        assert words.lower() in README.lower(), words


def test_the_picture_is_a_drawing_that_fetches_nothing() -> None:
    (path,) = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    text = (ROOT / path).read_text(encoding="utf-8")
    ElementTree.fromstring(text)  # noqa: S314 - our own file
    assert set(re.findall(r"https?://[^\s\"<]+", text)) == {"http://www.w3.org/2000/svg"}
    assert "@font-face" not in text and "url(" not in text


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_every_path_that_is_named_exists(name: str) -> None:
    text = {"README.md": README, "DEVELOPERS.md": DEVELOPERS}[name]
    named = set(PATH.findall(text)) | set(re.findall(r"\]\(([\w./-]+)\)", text))
    assert len(named) >= 3
    assert sorted(path for path in named if not (ROOT / path).exists()) == []


def test_the_map_names_nearly_every_module_and_no_other() -> None:
    """A few modules may be newer than the map; ``python -m tests.rooms`` draws it anew."""
    there = {str(file.relative_to(ROOT)) for file in modules()}
    drawn = set(PATH.findall(DEVELOPERS.split(BEGIN)[1].split(END)[0]))
    assert drawn <= there
    missing = sorted(there - drawn)
    assert len(missing) < 0.1 * len(there), missing


def test_every_module_says_what_it_is_for() -> None:
    assert [str(file.relative_to(ROOT)) for file in modules() if len(purpose(file)) < 20] == []
