"""What the frozen comparison asks a program: command lines, made from a tree of the project.

Everything is in a fixed order and made of the files of that tree alone, so that two
programs that are asked from one tree are asked the same.
"""

import csv
import re
from shlex import quote

FORMATS = ("table", "json", "csv")
WIDTHS = (60, 80, 120, 140)

# What the book of every case holds besides the demo shop, entered in this order; then
# come the lines that grammar/sixty.md enters first.
BENCH = (
    'add layout "Marlow 6 head" file=$ROOT/seed-data/"Marlow 6 head.csv"',
    'add wrench W3 low="60 N·m" high="300 N·m" graduation="5 N·m" calibrated=2023-03-14',
    "find --save heads head, moly or oil",
)

# Commands that show something and change nothing: run in every form at every width.
PAGES = """
find 7/16-20 with moly, oil, dry
find 7/16-20 stud
find head
find M10 torque over 60 N.m
find cylinder head, moly or oil
find joint head show part, lube, torque, clamp sort torque down first 10
find assembly "Marlow 6" tally thread, lube
find tally joint total torque
find of-proof over 90% --plan
find head stud --why
find M12x1.75 target 75% proof
find 7/16-20 with moly keep of-proof over 60%
find confused-with M12x1.25
find rod R12 stretch
find has verbatim show part, verbatim
find basis chart first 12
find lacks lube
find joint main on W1
find assembly nowhere
find torqe over 60 N.m
find torque over 60
find --saved heads
find head units metric
find show key, source, page, revision, notes
lubes head stud
lubes 7/16-20
lubes rod
lubes wheel
lubes assembly nowhere
calc 7/16-20 --yield 180ksi --lube moly --target "75% yield"
calc 7/16-20 --yield 180ksi --lube moly --torque "65 lb-ft"
calc 7/16-20 --yield 180ksi --lube moly --torque "65 lb-ft" --why
calc M10x1.5 --strength 10.9 --lube oil --target "75% proof"
calc M10x1.5 --strength 10.9 --lube whale
calc M10
calc stretch 7/16-20 --shank "7/16 in, 1 in" --free-thread "0.75 in" --clamp 60kN
calc stretch M10x1.5 --shank "10mm, 40mm" --free-thread 15mm --stretch 0.12mm --strength 10.9 --why
calc turn M10x1.5 --shank "10mm, 30mm" --free-thread 10mm --layer "40mm, aluminium" --turn 90deg --strength 10.9
calc engage M10x1.5 --strength 10.9 --hole-tensile "250 MPa" --engagement 15mm
calc engage M10x1.5 --strength 10.9 --hole-tensile "250 MPa" --hole-material aluminium --clamp 30kN --why
calc heat M10x1.5 --shank "10mm, 30mm" --free-thread 10mm --layer "40mm, aluminium" --rise 80K --clamp 30kN
calc adapter --torque 95Nm --length 450mm --reach 50mm --why
calc adapter --setting 85Nm --length 450mm --reach 50mm --angle across
calc adapter --torque 400Nm --multiplier 4 --efficiency 85%
calc prevailing --torque 40Nm --prevailing 6Nm --rule to-add
calc prevailing --torque 40Nm --prevailing 6Nm
thread M12x1.25
thread 7/16 coarse
thread 7/16-20
thread 1/4 BSW
thread G1/4
thread M10
thread 10-24
thread 3/8
passes "65 lb-ft" --steps 3 --graduation "5 lb-ft"
passes "65 lb-ft" --steps 3 --units metric
passes 8.5 mkg --units N.m,lb-ft
passes head stud moly --wrench W2 --adapter "2 in"
passes head oil
passes rod
order circle 8
order circle 5
order row 7
order grid 2x5
order grid 2x5 --spiral
order layout "Marlow 6 head"
order joint head
order joint main
check
check damper
check assembly "Marlow 6"
check assembly nowhere
list lubes
list strengths
list wrenches
list layouts
list sets
list fields
list questions
log show
log show 1
log show joint head
log show --job 24-017
log show joint nowhere
log since 2024-01-10
log wrench W2
log wrench W2 --since 2024-01-10
log wrench W9
log off-target 10%
log retorque
log tins
log bolts R12
log bolts R12 --cycles 4
log export
book info
book verify
export
export head
export assembly nowhere
export --as csv
export --as json
export --as jsonl
export --as sql
edit marlow-6-head-stud-long --history
edit wrench W2 --history
edit lube moly --history
import $ROOT/seed-data/shop.csv --dry-run
import $ROOT/seed-data/shop-with-mistakes.csv --dry-run
import $ROOT/seed-data/demo.csv --dry-run
""".strip().splitlines()

# Commands whose print has one form.
PLAIN = """
sheet joint head -o -
sheet joint main -o - --paper letter
sheet main or rod -o - --pocket
sheet head stud moly -o - --wrench W2 --adapter "2 in"
sheet coupling lube oil -o - --units metric
sheet assembly nowhere -o -
completions bash
completions zsh
completions fish
man
""".strip().splitlines()

COMMANDS = """
find lubes calc thread passes order sheet import export add edit check list log book
completions man
""".split()
BELOW = {
    "calc": "stretch turn engage heat adapter prevailing",
    "log": "start add correct show since wrench off-target retorque tins bolts export",
    "book": "info verify backup restore compact",
}

# Changes: each group runs in order on a book of its own.
STORIES = {
    "fastener": """
add assembly="Quill 3" joint=cover part=bolt kind=bolt thread=M8x1.25 strength=10.9 lube=oil torque="25 N·m" source="Sheet 4" page=2 count=6
find 'assembly "Quill 3"'
edit quill-3-cover-bolt/oil torque="27 N·m"
edit quill-3-cover-bolt grip="30 mm" length="45 mm" notes="clean the holes"
edit quill-3-cover-bolt/oil torque="27 kN"
edit quill-3-cover-bolt colour=red
edit quill-3-cover-bolt --history
add assembly="Quill 3" joint=cover part=bolt lube=moly torque="20 N·m" source="Sheet 4" page=2
find 'assembly "Quill 3"' show part, lube, torque, basis, grip, notes
export 'assembly "Quill 3"'
edit quill-3-cover-bolt --remove --yes
find 'assembly "Quill 3"'
edit quill-3-cover-bolt --history
book info
book verify""",
    "tables": """
edit lube moly k=0.13 source="own bench test, 2026"
edit lube moly --history
list lubes
find head stud moly show part, torque, clamp
edit lube moly --remove --yes
add wrench W7 low="10 N·m" high="60 N·m" graduation="0.5 N·m"
edit wrench W7 calibrated=2026-05-04
edit wrench W7 colour=red
edit wrench W7 --history
list wrenches
edit wrench W7 --remove --yes
list wrenches
edit layout "Marlow 6 head" --remove --yes
list layouts
edit set R12 --history
list sets
list questions --delete heads
list questions""",
    "log": """
log start 26-001
log add head stud moly --yes wrench=W2 lot="tin 7" reached="1: 66 lb-ft; 2: 58 lb-ft"
log add head stud moly --done --yes wrench=W1
log add coupling lube oil --done --yes wrench=W3
log correct 1 wrench=W1
log correct 99 wrench=W1
log show
log wrench W2
log off-target 5%
log export""",
    "marks": """
check Tern 40 pump
check --acknowledge 802eet --note "plastic plug, by feel" --who Ada
check Tern 40 pump
check --withdraw 802eet
check --acknowledge zzzzzz --note "no such"
check""",
    "files": """
import $ROOT/seed-data/shop.csv
import $ROOT/seed-data/shop.csv
import $ROOT/seed-data/shop-with-mistakes.csv
import $ROOT/seed-data/shop-with-mistakes.csv --take-good bad.csv
import bad.csv --dry-run
import $ROOT/seed-data/shop.csv --suggest-map map.toml
import $ROOT/seed-data/demo.csv
export --file all.csv
export --file all.csv
export --file all.json --replace
export --file all.jsonl --replace
export --file all.xlsx --replace
export --file all.sql --replace
import all.csv --dry-run
import all.json --dry-run
import all.jsonl --dry-run
import all.xlsx --dry-run
book backup kept.jsonl
book restore kept.jsonl --yes
book verify
book compact
find head""",
    "prompt": """
printf 'head stud\\n7/16-20 with moly\\ntorqe over 60\\n' | clampbook
printf '' | clampbook""",
}


def lines_of(path):
    """The lines of a list of questions, without remarks and empty ones."""
    lines = path.read_text(encoding="utf-8").splitlines()
    return [line for line in lines if line.strip() and not line.startswith("#")]


def sixty(root):
    """What grammar/sixty.md enters first, and the lines that it shows."""
    page = (root / "grammar/sixty.md").read_text(encoding="utf-8")
    before = page.split("```\n")[1].split("```")[0].replace("\\\n", " ")
    before = [line.removeprefix("clampbook ") for line in before.splitlines()]
    shown = re.findall(r"^\| \d+ \|[^|]*\| `([^`]*)` \|", page, re.MULTILINE)
    return before, [line.replace("tests/data", "$ROOT/tests/data") for line in shown]


def fields(root):
    """The names of fields that the grammar lists."""
    text = (root / "grammar/tokens.bnf").read_text(encoding="utf-8")
    rule = text.split("<field> ::=")[1].split("\n\n")[0]
    return re.findall(r'"([^"]+)"', rule)


def demo_values(root):
    """For each column of the demo shop up to three short values, as a field knows them."""
    with (root / "seed-data/demo.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for heading in rows[0]:
        seen = list(dict.fromkeys(row[heading] for row in rows if row[heading]))
        short = [value for value in seen if len(value) < 30]
        yield heading.lower().replace(" ", "-"), (short or seen)[:3]


def quoted(value):
    """A value as a question quotes it."""
    return '"' + value.replace('"', "") + '"'


def questions(root):
    """About a thousand questions: lists of the grammar, every field, values of the demo."""
    for name in ("accept", "reject"):
        yield from lines_of(root / f"grammar/{name}.txt")
    for field in fields(root):
        yield f"has {field} show part, {field} first 4"
        yield f"lacks {field} first 2"
        yield f"tally {field}"
        yield f"sort {field} down first 3"
        yield f"{field} over 60"
        yield f"{field} over 40 N.m first 3"
    threads, lubes = [], []
    for field, values in demo_values(root):
        for value in values:
            yield f"{field} {quoted(value)} show part, {field} first 5"
            yield f"{quoted(value)} first 3"
        threads += values if field == "thread" else []
        lubes += values if field == "lube" else []
    for thread in threads:
        for lube in lubes:
            yield f"{thread} with {lube}"
            yield f"{thread} with {lube} keep of-yield over 50%"
            yield f"{thread} lube {lube} target 70% yield"
        yield f"confused-with {thread} show part, thread"
        yield f"thread {thread} units metric"


def cases(root, files):
    """(group, story or none, format or none, width, line) of every case, in order."""
    _, shown = sixty(root)
    for line in PAGES:
        for form in FORMATS:
            for width in WIDTHS:
                yield "page " + line.split()[0], None, form, width, line
    for line in PLAIN:
        yield "plain " + line.split()[0], None, None, 80, line
    for name in ["", *COMMANDS]:
        for below in ["", *BELOW.get(name, "").split()]:
            for help_ in ("-h", "--help"):
                yield "help", None, None, 80, f"{name} {below} {help_}".strip()
    for line in shown:
        yield "sixty", None, None, 80, line
    for question in dict.fromkeys(questions(root)):
        for form in FORMATS:
            yield f"question {form}", None, form, 80, f"find -- {quote(question)}"
    for story, lines in STORIES.items():
        for form in ("table", "json"):
            for line in lines.strip().splitlines():
                yield f"story {story}", f"{story} {form}", form, 80, line
    for file in files:
        for form in ("table", "json", "csv"):
            yield "file", None, form, 100, f"import {quote(str(file))} --dry-run"
        yield "file", f"file {file.name}", "table", 100, f"import {quote(str(file))} --take-good bad"
        yield "file", f"file {file.name}", "csv", 100, "export basis listed or basis shop"
