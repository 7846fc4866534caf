"""The commands and their options. Each command's module is imported only when it runs."""

from __future__ import annotations

import argparse
import sys
from importlib import import_module
from typing import Any

from app.cli.shell import Shell
from app.display import inert

ABOUT = "A live cook log that says what time the meat will be done by."
DAYLINE_HELP = """\
the day in hand:
  doneby dayline ham --weight 5kg --meal "sun 13:00" --save     plans it and keeps it
  doneby dayline                                                shows it, as it stands now
  doneby dayline --tick fire                                    the fire was lit now
  doneby dayline --tick brine@7:20                              into the brine at 7:20
  doneby dayline --move rub 21:00 --move "meat on" +15          other times; the rest follows
  doneby dayline --begin                                        meat on: starts the cook from it

Steps are called thaw, brine, brine out, salt, rub, fire, steady, on, wood, glaze, wrap, pull,
carve, meal, leftovers; with several pieces the name follows: "on chicken". Moving the meal moves
the day. What is ticked or moved stands, and all the rest is laid out anew around it.
"""
EPILOG = "Without a command the screens open. 'doneby help line' shows what can be typed."


class Parser(argparse.ArgumentParser):
    """An argument parser that takes odd-looking words of `say` as they are."""

    def error(self, message: str) -> Any:
        """Say what is wrong and how to get help, and stop with 2."""
        self.exit(2, f"{self.prog}: {inert(message)}\n'{self.prog} --help' shows what is allowed\n")

    def parse_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As argparse does; the words behind `say` may begin with a minus."""
        words = list(sys.argv[1:] if args is None else args)
        words = _protected(words) if words[:1] == ["say"] else _joined(words)
        return super().parse_args(words, namespace)


def _protected(words: list[str]) -> list[str]:
    """`say` with its own options first and a `--` before the text."""
    options, text, open_ = ["say"], [], True
    for word in words[1:]:
        if open_ and word == "--":
            open_ = False
        elif open_ and (word in ("--yes", "-y", "--help", "-h") or word.startswith("--")):
            options.append(word)
        else:
            text.append(word)
    return [*options, "--", *text]


def _joined(words: list[str]) -> list[str]:
    """``--at -20m`` as ``--at=-20m``: the value is no option."""
    joined: list[str] = []
    for word in words:
        if joined and joined[-1] == "--at" and word[:1] == "-" and word[1:2].isdigit():
            joined[-1] = f"--at={word}"
        else:
            joined.append(word)
    return joined


def _runs(module: str) -> Any:
    """A command that imports `app.cli.<module>` when it runs."""

    def run(options: argparse.Namespace, shell: Shell) -> int:
        return int(import_module(f"app.cli.{module}").run(options, shell))

    return run


def build_parser() -> Parser:
    """The whole command line."""
    parser = Parser(prog="doneby", description=ABOUT, epilog=EPILOG)
    parser.add_argument("--version", action="store_true", help="print the version and stop")
    parser.add_argument("--quiet", action="store_true", help="open the screens without a bell")
    parser.set_defaults(run=_runs("screens"), command=None)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", dest="command")
    for add in (
        _demo,
        _dayline,
        _brine,
        _start,
        _say,
        _status,
        _levers,
        _hindcast,
        _import,
        _export,
        _report,
        _schema,
        _ledger,
        _doctor,
        _help,
    ):
        add(commands)
    return parser


def _command(commands: Any, name: str, module: str, about: str) -> argparse.ArgumentParser:
    command: argparse.ArgumentParser = commands.add_parser(name, help=about, description=about)
    command.set_defaults(run=_runs(module))
    return command


def _demo(commands: Any) -> None:
    command = _command(
        commands, "demo", "demo", "replay a sample cook on the Tend screen, faster than life"
    )
    command.add_argument("name", nargs="?", metavar="NAME", help="which sample; see --list")
    command.add_argument("--speed", metavar="X", help="so many times faster than life")
    command.add_argument("--list", action="store_true", help="list the samples and stop")


def _start(commands: Any) -> None:
    command = _command(commands, "start", "start", "start a cook; what is left out is the usual")
    option = command.add_argument
    option("cut", metavar="CUT", help="duck, pork_shoulder, ...; 'list' lists them")
    option("--weight", metavar="W", help="raw weight: 7lb, 3.2kg")
    option("--pit", metavar="T", help="pit temperature to hold")
    option("--band", metavar="LOW-HIGH", help="band to hold it in: 290-320")
    option("--probe", metavar="NAME", action="append", help="a probe by its place; repeat for more")
    for name, what in (("target", "done at"), ("glaze", "glaze at"), ("wrap", "wrap at")):
        option(f"--{name}", metavar="T", action="append", help=f"{what} T, or NAME=T for one probe")
    option("--meat", metavar="T", help="temperature of the meat as it goes on")
    option("--meal", metavar="TIME", help="when it is eaten: 18:30")
    option("--rest", metavar="SPAN", help="rest before carving: 20m")
    option("--pull", choices=("early", "target"), help="early: the rest carries it to the target")
    option("--at", metavar="TIME", default="now", help="meat-on: 13:05 or -20m (else now)")
    option("--unit", choices=("C", "F"), help="unit of temperatures typed and shown")
    option("--mass-unit", choices=("kg", "lb"), help="unit of weights typed and shown")
    option("--shape", choices=("slab", "cylinder", "ball"), help="for the cut 'other'")
    option("--thickness", metavar="L", help="for the cut 'other': 8cm or 3in")
    option("--title", help="what to call the cook")
    option("--replace", action="store_true", help="end the cook in hand first")


def _dayline(commands: Any) -> None:
    command = _command(
        commands, "dayline", "dayline", "lay out the day, counted back from the meal"
    )
    command.epilog = DAYLINE_HELP
    command.formatter_class = argparse.RawDescriptionHelpFormatter
    option = command.add_argument
    option("cut", metavar="CUT", nargs="?", help="duck, ham, ...; without one: the day in hand")
    option("--meal", metavar="TIME", help="18:30, sat 13:00, 2026-05-09T13:00")
    option("--weight", metavar="W", help="raw weight: 7lb, 3.2kg")
    option("--state", choices=("frozen", "partly", "thawed"), default="thawed", help="it is ...")
    option("--brine", choices=("wet", "dry", "none"), default="none", help="salt beforehand")
    option("--thaw", choices=("refrigerator", "cold_water"), help="how; else as time allows")
    option("--people", metavar="N", help="how many eat")
    option("--chance", metavar="P", default="90", help="wanted chance of being ready, in percent")
    option(
        "--with",
        metavar="PIECE",
        action="append",
        dest="others",
        help="another piece on the same fire: 'whole_chicken 4lb frozen wet target=165'",
    )
    option("--pit", metavar="T", help="pit temperature to hold")
    option("--probe", metavar="NAME", action="append", help="a probe by its place; repeat for more")
    for name, what in (("target", "done at"), ("glaze", "glaze at"), ("wrap", "wrap at")):
        option(f"--{name}", metavar="T", action="append", help=f"{what} T, or NAME=T for one probe")
    option("--rest", metavar="SPAN", help="rest before carving: 20m")
    option("--unit", choices=("C", "F"), help="unit of temperatures typed and shown")
    option("--mass-unit", choices=("kg", "lb"), help="unit of weights typed and shown")
    option("--shape", choices=("slab", "cylinder", "ball"), help="for the cut 'other'")
    option("--thickness", metavar="L", help="for the cut 'other': 8cm or 3in")
    option("--json", action="store_true", help="as one JSON object")
    option("--ics", metavar="FILE", help="as a calendar file (iCalendar) for a phone; - prints it")
    option("--next", action="store_true", help="only what is in the way and what comes next")
    option("--save", action="store_true", help="keep it: it is the day in hand then")
    option("--replace", action="store_true", help="with --save: close the day in hand first")
    option("--tick", metavar="STEP[@TIME]", action="append", help="a step is done, now or then")
    option("--untick", metavar="STEP", action="append", help="it is not done after all")
    option("--move", metavar=("STEP", "TIME"), nargs=2, action="append", help="put it elsewhere")
    option("--back", metavar="STEP", action="append", help="give a moved step back to the plan")
    option("--begin", action="store_true", help="start the cook of the piece that goes on next")
    option("--close", action="store_true", help="the day is over")
    option("--reopen", metavar="N", help="it is not: takes up day N of the list again")
    option("--list", action="store_true", help="list the days and stop")


def _brine(commands: Any) -> None:
    command = _command(
        commands, "brine", "brine", "strength and time of a brine or rub; your own list of them"
    )
    option = command.add_argument
    option("lines", metavar="LINE", nargs="*", help='one ingredient each: "120 g salt"')
    option("--weight", metavar="W", help="the meat it is for: 3kg")
    option("--scale", metavar="W", help="the same mix for so much meat instead")
    option("--cut", metavar="CUT", help="what soaks, for the time: duck, pork_loin, ...")
    option("--thickness", metavar="L", help="or how thick it is: 5cm or 2in")
    option("--kind", choices=("brine", "rub", "glaze"), help="else by what is in it")
    option("--mass-unit", choices=("kg", "lb"), help="unit of weights typed and shown")
    option("--save", metavar="NAME", help="put it on your list; the same name is replaced")
    option("--use", metavar="NAME", help="take it from your list; --weight scales it")
    option("--keep", action="store_true", help="keep it with the cook in hand")
    option("--list", action="store_true", help="your list")
    option("--delete", metavar="NAME", help="off your list")
    option("--json", action="store_true", help="as one JSON object")


def _say(commands: Any) -> None:
    command = _command(
        commands, "say", "say", "log lines exactly as typed on the screen; none: read from stdin"
    )
    command.add_argument("text", nargs="*", metavar="TEXT", help="the line; see 'doneby help line'")
    command.add_argument("-y", "--yes", action="store_true", help="save a line even if it is odd")


def _status(commands: Any) -> None:
    command = _command(commands, "status", "status", "the four answers as plain text")
    command.add_argument("--json", action="store_true", help="as one JSON object")
    command.add_argument(
        "--watch",
        metavar="SECONDS",
        nargs="?",
        const="300",
        help="again at each change, and after so many seconds (else 300), until Ctrl+C",
    )
    command.add_argument(
        "--cook", type=int, metavar="N", help="of several in hand this one, not the one begun last"
    )


def _levers(commands: Any) -> None:
    command = _command(
        commands, "levers", "levers", "what would change the chance of being ready by the meal"
    )
    command.add_argument("--json", action="store_true", help="as one JSON object")


def _hindcast(commands: Any) -> None:
    command = _command(
        commands, "hindcast", "hindcast", "what the forecast would have said at each reading"
    )
    command.add_argument("source", metavar="FILE|ID", help="a cook document, or a cook's number")
    command.add_argument("--json", action="store_true", help="as one JSON object")
    command.add_argument(
        "--at",
        metavar="MINUTE",
        action="append",
        help="at this minute from meat-on; may be repeated",
    )
    command.add_argument(
        "--book", action="store_true", help="leave out what your own earlier cooks taught"
    )


def _import(commands: Any) -> None:
    command = _command(
        commands,
        "import",
        "documents",
        "take cook documents, or the readings of a table (CSV), into the data file, all or none",
    )
    option = command.add_argument
    option("files", nargs="+", metavar="FILE", help="cook documents (JSON), or one table (CSV)")
    option(
        "--dry-run", action="store_true", help="check and tell what was understood, save nothing"
    )
    option("--again", action="store_true", help="even if it is there already")
    option("--into", metavar="ID", help="table: add its readings to this cook")
    option("--cut", metavar="CUT", help="table: make a new cook of it; the plan as for 'start':")
    option("--weight", metavar="W", help="raw weight: 7lb, 3.2kg")
    option("--pit", metavar="T", help="pit temperature that was to be held")
    option("--target", metavar="T", action="append", help="done at T, or NAME=T for one probe")
    option("--title", help="what to call the cook")
    option("--mass-unit", choices=("kg", "lb"), help="unit of weights typed and shown")
    option("--on", metavar="TIME", help="table: meat-on, like 2026-05-09T13:05")
    option(
        "--map", metavar="WHAT=COLUMN", action="append",
        help="table: the column of the time, minute, pit, note or a probe: --map pit=Grill,leg=#3",
    )  # fmt: skip
    option(
        "--unit", choices=("C", "F"), help="table: unit where neither heading nor cell names one"
    )
    option("--dates", choices=("dmy", "mdy"), help="table: order of dates like 5/9/2026")
    option("--every", metavar="SPAN", help="table: keep one row in so long: 5m")
    option("--missing", metavar="TEXT", action="append", help="table: a cell that means nothing")


def _export(commands: Any) -> None:
    command = _command(
        commands, "export", "documents", "write a cook as a cook document, or its readings as CSV"
    )
    command.add_argument("cook", metavar="ID", help="the cook's number; see 'doneby ledger'")
    command.add_argument("--csv", metavar="FILE", help="the readings as a table (- for stdout)")
    command.add_argument("-o", "--output", metavar="FILE", help="file to write (else stdout)")


def _report(commands: Any) -> None:
    command = _command(commands, "report", "report", "write a page about a cook, to send or print")
    command.add_argument("cook", metavar="ID", help="the cook's number; see 'doneby ledger'")
    command.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        required=True,
        help="file to write; its ending says what it becomes: .html, .pdf or .png",
    )


def _schema(commands: Any) -> None:
    _command(commands, "schema", "schema", "print the JSON Schema of the cook document")


def _ledger(commands: Any) -> None:
    command = _command(
        commands, "ledger", "ledger", "past cooks: list, look back at one, compare, score"
    )
    option = command.add_argument
    option(
        "words",
        nargs="*",
        metavar="WORD",
        help="ID; compare ID ID; outcome ID; say ID LINE; bin ID; unbin ID; learning [on|off]",
    )
    option("--cut", metavar="CUT", help="only this cut")
    option("--search", metavar="WORDS", help="only cooks with all these words: title, month, notes")
    option("--sort", metavar="BY", default="date", help="date, late, half, outcome, took, ...")
    option("--turn", action="store_true", help="the other way round")
    option("--all", action="store_true", help="work out all missing figures, however many")
    option("--bin", action="store_true", help="list the bin instead")
    for name in ("tender", "juicy", "skin", "smoke"):
        option(f"--{name}", metavar="1-5", help=f"with outcome: {name}, 1 to 5 or none")
    option("--words", dest="words_said", metavar="TEXT", help="with outcome: what was said")
    option("--change", metavar="TEXT", help="with outcome: what you would change")
    option("--wood", metavar="TEXT", help="with outcome: the wood")
    option("--json", action="store_true", help="as one JSON object")


def _doctor(commands: Any) -> None:
    command = _command(
        commands, "doctor", "doctor", "check the data file, back it up, restore or salvage it"
    )
    command.add_argument(
        "--restore",
        metavar="DAY|FILE",
        nargs="?",
        const="",
        help="go back to a backup (else the newest sound one); what was there is kept",
    )
    command.add_argument(
        "--salvage",
        metavar="NEW",
        nargs="?",
        const="",
        help="write what can still be read of a damaged file into a new one",
    )


def _help(commands: Any) -> None:
    command = _command(commands, "help", "card", "help; 'help line' is the card of the typed line")
    command.add_argument("topic", nargs="?", metavar="line|COMMAND")
