"""Where fuzzing begins: inputs that are read, and the words they are made of."""

from __future__ import annotations

from pathlib import Path

from app.line.card import card_text
from app.line.vocabulary import COMMAND_WORDS, KIND_OF
from app.samples import sample_files
from tests.fuzz.scenes import SCENES

CORPUS = Path(__file__).parent / "corpus"

_LINES = (
    "305 128", "305 - 131", "pit 310", "52c", "126f", "52,5", "305 128 @14:20", "pit 300 @2:20pm",
    "305 128 @sat14:20", "300 -10m", "300 -1h20m", "lid", "lid turn", "coals 12 briquettes",
    "wood cherry", "vents half", "moved", "spot thigh 165", "pull", "serve", "note wind got up",
    "305 128 lid; turn half", "undo", "fix 305 132", "fix #2 305 132", "fix @14:20 305 132",
    "drop #1", "restore #2", "plan meal 18:30", "plan pit 325f", "plan target breast 160",
    "plan glaze off", "plan band 300-340", "plan rest 20m", "plan on 13:05", "end", "reopen", "?",
    "breast=131", "nan", "inf", "1e308", "\uff11\uff12\uff18", "\u221210", "305\u00b0 128 \u212a",
    "@2026-02-29T12:00", "@2028-02-29T02:10 305", "305 128 @1:30", "305 128 @2:30am",
    "note \x1b[2J", "note \u202egnol", "note [red]x[/b]", "note " + "x" * 500,
)  # fmt: skip

_OPTIONS = (
    "status", "status\n--json", "status\n--watch\n5", "say\n305 128", "say", "say\n--yes\nundo",
    "start\ngoose\n--weight\n7lb\n--pit\n325f\n--meal\n18:30\n--replace", "start\nlist",
    "start\nother\n--shape\nslab\n--thickness\n8cm\n--weight\n2kg\n--replace", "help\nline",
    "hindcast\n1\n--at\n60\n--json", "hindcast\ncook.json", "import\ncook.json\n--dry-run",
    "import\ncook.json\n--again", "export\n1\n-o\nout.json", "export\n1", "ledger",
    "ledger\n--json",
    "dayline\ngoose\n--meal\nsun 13:00\n--weight\n5kg\n--brine\nwet\n--state\nfrozen",
    "levers", "schema", "report\n1\n-o\nout.html", "brine\n120 g salt\n2 L water\n--weight\n3kg",
    "dayline", "dayline\n--tick\nfire", "export\n1\n--csv\nout.csv",
    "import\nlog.csv\n--into\n1\n--dry-run", "import\nlog.csv\n--cut\nduck\n--weight\n2kg",
    "demo\n--list", "doctor", "doctor\n--restore", "doctor\n--salvage\nnew.db",
    "--version", "demo\nnone\n--speed\nnan",
)  # fmt: skip


_TABLES = (
    "minute,pit,breast\n0,150,5\n10,151,9.5\n20,,14\n",
    "time;grill (\u00b0C);meat (\u00b0C)\n12:00;150,5;5\n12:10;151;9,5\n0:05;149;22\n",
    "date\ttime\tpit F\tprobe 1 F\n31/10/2026\t23:30\t300\t42\n01/11/2026\t01:30\t305\t60\n",
    "Date,Pit,Left thigh\n2026-10-31T22:10:00Z,150,5\n2026-11-01 01:30,151,\n",
    "made by nobody\n\nelapsed,breast,note\n0:10:00,5,\"a \"\"b\"\", c\"\n1:00:00,n/a,lid\n",
    "sep=;\nmin;pit;breast\n-5;-;1e308\n5;nan;inf\n",
    "=1+1,pit,breast\n1,2,3\n", "\ufeffminute,pit\n1,\uff11\uff15\uff10\n", '"minute","pit\n',
)  # fmt: skip


def seeds(target: str) -> list[bytes]:
    """Inputs of a target that are read, and those kept because they once found something."""
    kept = [file.read_bytes() for file in sorted((CORPUS / target).glob("*"))]
    if target == "line":
        places = range(len(SCENES))
        return [*kept, *(bytes([n]) + text.encode() for text in _LINES for n in places)]
    if target == "document":
        return [*kept, *(path.read_bytes() for path in sample_files().values())]
    if target == "table":
        hows = (b"\0\0", b"\x05\x03", b"\x31\x02")
        return [*kept, *(how + text.encode() for text in _TABLES for how in hows)]
    if target == "options":
        return [*kept, *(words.encode() for words in _OPTIONS)]
    if target == "values":
        return [*kept, *(bytes([place, step, kind]) for place in range(0, 40, 3)
                         for step in (0, 5) for kind in range(60))]  # fmt: skip
    raise KeyError(target)


def words() -> list[str]:
    """Words that mean something somewhere; a fuzzer puts them together."""
    card = card_text().split()
    times = ["@14:20", "@sat2:20pm", "-1h20m", "now", "@1:30", "@2026-11-01T01:30"]
    keys = ['"format"', '"readings"', '"minute"', '"kind"', '"note"', '"serve_at"', "null", "1e308",
            "NaN", "-0.0", '"glazed"', "1e999", "\\ud800", "\\u202e"]  # fmt: skip
    flags = ["--json", "--at", "--weight", "--meal", "--unit", "--yes", "--watch", "-o", "--",
             "--band", "--replace", "--probe", "--target", "--rest", "--people",
             "--map", "--into", "--cut", "--every", "--dates", "--missing", "--restore", "--csv",
             "--salvage", "--tick", "--move", "--save", "--use", "--keep", "--delete",
             "--scale"]  # fmt: skip
    signs = [
        "\u00b0F",
        "\u212a",
        "\u2212",
        "\u202e",
        "\x1b[31m",
        "[/b]",
        "\uff15",
        "\u0665",
        "\ufeff",
    ]
    found = {*card, *times, *keys, *flags, *signs, *COMMAND_WORDS, *KIND_OF}
    return sorted(word for word in found if word)
