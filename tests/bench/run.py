#!/usr/bin/env python3
"""Measures clampbook beside SQLite and prints one table.

    tests/bench/run.py [--sizes 500,20000,1000000] [--folder DIR] [--program FILE]

Needs cargo, a C compiler (for the SQLite that is linked in) and the sqlite3
shell (Debian: sqlite3), and GNU time. What a person runs is measured as a person
runs it: the program itself, into a fresh book with its reference tables, answers as
tables; what is in process is said so. Runs of both sides alternate, so that a busy
machine is unfair to neither. Data are invented and always the same. An earlier
program is measured with --program and --bench, both built from its commit. With --server
a book on a PostgreSQL server is measured too.
"""
import argparse
import glob
import json
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

HERE = os.path.dirname(os.path.abspath(__file__))
RARE = "M11x1.25"  # ten settings have it, whatever the size
COLUMNS = """assembly joint part kind part_number count thread hole_thread strength length lube
method torque basis source page revision entered_by tags notes""".split()
INDEXED = "thread hole_thread torque_nm lube strength assembly joint".split()
# Debian's `psql` in the path is a slower script around the newest of these.
PSQL = max(glob.glob("/usr/lib/postgresql/*/bin/psql"), default="psql",
           key=lambda path: int(path.split("/")[4]))


def run(*command, codes=(0,), quiet=False, **options):
    """Runs a command; returns its output and seconds."""
    start = time.perf_counter()
    out = subprocess.DEVNULL if quiet else subprocess.PIPE
    done = subprocess.run(command, stdout=out, text=True, **options)
    spent = time.perf_counter() - start
    if done.returncode not in codes:
        sys.exit(f"{' '.join(command)} ended with {done.returncode}")
    return done.stdout, spent


def run_peak(*command, **options):
    """The same with the peak memory in MiB, by GNU time (Debian: time): what
    the system tells of a child of this script includes this script."""
    with tempfile.NamedTemporaryFile() as seen:
        out, spent = run("/usr/bin/time", "-f", "%M", "-o", seen.name, *command, **options)
        return out, spent, int(seen.read().split()[-1]) / 1024


def build():
    target = os.environ.get("CARGO_TARGET_DIR", os.path.join(HERE, "../../target/bench"))
    environment = dict(os.environ, CARGO_TARGET_DIR=target)
    quiet = ["cargo", "build", "--release", "--quiet"]
    subprocess.run(quiet, cwd=HERE, env=environment, check=True)
    main = dict(os.environ, CARGO_TARGET_DIR=os.path.join(target, "main"))
    subprocess.run(quiet + ["--bin", "clampbook"], cwd=os.path.join(HERE, "../.."), env=main, check=True)
    release = os.path.join(target, "release", "clampbook-bench")
    return release, os.path.join(target, "main", "release", "clampbook")


def size_of(path):
    if os.path.isfile(path):
        return os.path.getsize(path)
    return sum(os.path.getsize(os.path.join(folder, name))
               for folder, _, names in os.walk(path) for name in names)


def sqlite_import(db, csv):
    """.import and then the same indexes that the book has, that of words too."""
    columns = ", ".join(f"{name} text" for name in COLUMNS) + ", torque_nm real"
    script = [f"create table settings({columns});", f'.import --csv "{csv}" settings']
    script += [f"create index settings_{name} on settings({name});" for name in INDEXED]
    script += ["create virtual table words using fts5(text, content='', prefix='2 3');",
               "insert into words(rowid, text) select rowid, "
               "assembly || ' ' || joint || ' ' || part || ' ' || tags || ' ' || notes from settings;"]
    _, spent, peak = run_peak("sqlite3", db, input="\n".join(script))
    return spent, peak


def alternate(commands, times):
    """Median milliseconds of each whole process."""
    spent = {name: [] for name in commands}
    for _ in range(times):
        for name, command in commands.items():
            spent[name].append(run(*command)[1] * 1000)
    return {name: statistics.median(each) for name, each in spent.items()}


class Table:
    """A line for each work, a column for each size."""

    def __init__(self):
        self.sizes, self.works = [], {}

    def add(self, work, size, ours, theirs, unit, bar):
        short = lambda value: f"{value:,.0f}" if value >= 1000 else f"{value:.3g}"
        ratio = f" ({ours / theirs:.2f}x of {short(theirs)})" if theirs else ""
        cell = f"{short(ours)} {unit}{ratio}"
        print(f"{work} | {size:,} | {cell}", file=sys.stderr)
        if size not in self.sizes:
            self.sizes.append(size)
        cells, bars = self.works.setdefault(work, ({}, []))
        cells[size] = cell
        if bar and bar not in bars:
            bars.append(bar)

    def print(self):
        sizes = [size for size in self.sizes if size]
        heads = [f"{size:,}" for size in sizes]
        print("| work | " + " | ".join(heads) + " | bar, goal |")
        print("| --- |" + " ---: |" * len(sizes) + " --- |")
        for work, (cells, bars) in self.works.items():
            each = [cells.get(size, cells.get(0, "")) for size in sizes]
            print(f"| {work} | " + " | ".join(each) + " | " + "; ".join(bars) + " |")


def fresh_import(program, book, csv):
    """Seconds and peak of `import` by the command, into a book that it makes itself."""
    _, spent, peak = run_peak(program, "--book", book, "import", csv)
    return spent, peak


def look_ups(side, size, folder, words, table):
    """Whole processes that look something up or change one thing."""
    book = side.book
    select = f"select assembly, torque, part, lube from settings where thread = '{RARE}'"
    find = [side.program, "--book", book, "find", RARE]
    spent = alternate({
        "table": find,
        "csv": find + ["--format", "csv"],
        "shell": ["sqlite3", words, select],
        "true": ["true"],
    }, 60)
    table.add("cold look-up of a thread, as a table", size, spent["table"], spent["shell"], "ms", "<= 1.0x, 0.6x")
    table.add("the same as CSV", size, spent["csv"], spent["shell"], "ms", "<= 0.8x, 0.5x")
    table.add("an empty program (`true`)", size, spent["true"], None, "ms", "")
    key = json.loads(run(*find, "--format", "json")[0])["rows"][0]["key"]
    fastener = key.split("/")[0]
    edits = [run(side.program, "--book", book, "edit", fastener, f"grip={40 + turn} mm")[1] * 1000
             for turn in range(15)]
    bar = "<= 50, 15 ms" if size == 20000 else ""
    table.add("one edit, durable, by the command", size, statistics.median(edits), None, "ms", bar)
    run(side.program, "--book", book, "log", "start", "bench")
    small = {
        "find": find,
        "lubes": [side.program, "--book", book, "lubes", "key", f'"{fastener}"'],
        "edit": [side.program, "--book", book, "edit", fastener, "grip=60 mm"],
        "log": [side.program, "--book", book, "log", "add", RARE, "--setting", key, "--done", "--yes"],
    }
    for name, command in small.items():
        table.add(f"peak memory of {name} for one fastener", size, run_peak(*command, codes=(0, 1))[2], None, "MiB", "<= 64, 12 MiB")


def whole_books(side, size, folder, csv, table):
    """Whole processes that go through the whole book."""
    program = [side.program, "--book", side.book]
    page = os.path.join(folder, "page")
    every = {
        "export as CSV": program + ["export", "--file", page + ".csv", "--replace"],
        "export as JSON lines": program + ["export", "--file", page + ".jsonl", "--replace"],
        "find as CSV": program + ["find", "has thread", "--format", "csv"],
        "find as JSON": program + ["find", "has thread", "--format", "json"],
        "tally": program + ["find", "tally", "joint,", "lube"],
        "check": program + ["check"],
        "import --dry-run": program + ["import", csv, "--dry-run"],
        "book verify": program + ["book", "verify"],
    }
    if size <= 20000:
        every["lubes"] = program + ["lubes", "has thread"]
        every["sheet"] = program + ["sheet", "has thread", "-o", page + ".html", "--replace"]
    if size <= 100000:
        every["export as a workbook"] = program + ["export", "--file", page + ".xlsx", "--replace"]
    for name, command in every.items():
        _, spent, peak = run_peak(*command, codes=(0, 1), quiet=True)
        bar = "<= 2 s, 1 s" if name in ("lubes", "sheet") and size == 20000 else ""
        table.add(f"{name} of the whole book", size, spent, None, "s", bar)
        table.add(f"peak memory of {name} of the whole book", size, peak, None, "MiB", "<= 400, 150 MiB")


def in_process(side, size, words, table):
    """Questions with the book open, beside a prepared statement."""
    bench, book = side.bench, side.book
    low, high = ("51.1", "51.3") if size > 5000 else ("50", "60")
    # About one setting in a thousand, of a larger book.
    ours, ours_first, rows = map(float, run(bench, "range", book, low, high)[0].split())
    theirs, theirs_first, same = map(float, run(bench, "sqlite-range", words, low, high)[0].split())
    assert rows == same, (rows, same)
    bar = "<= 1.0x, 0.1x" if size == 1000000 else ""
    table.add("indexed range, in process", size, ours, theirs, "ms", bar)
    table.add("the same, first time", size, ours_first, theirs_first, "ms", "")
    for name, question in [
        ("derived", "of-proof over 250%"),
        ("restated", "with moly keep of-proof over 250%"),
        ("words", "cylinder or water, pump or jacket, torque over 60 N.m"),
        ("sort and first", "sort torque down first 10"),
        ("sort of a derived figure and first", "sort of-proof down first 10"),
        ("tally", "tally joint, lube"),
    ]:
        out = run(bench, "ask", book, question)[0].split()
        bar = {20000: "<= 100, 30 ms", 1000000: "<= 2500, 1000 ms" if name == "restated" else "<= 500, 100 ms"}
        table.add(f"question: {name}, in process", size, float(out[0]), None, "ms", bar.get(size, ""))
    question = "head with moly keep of-proof over 80% show part, lube, torque sort torque down first 10"
    out = run(bench, "parse", book, question)[0].split()
    table.add("parse and resolve a question", size, float(out[0]) * 1000, None, "us", "<= 20, 10 us")


def measure(size, folder, side, table):
    at = lambda name: os.path.join(folder, f"{name}-{size}")
    words, csv, typed = map(at, ["words.db", "in.csv", "sqlite.csv"])
    side.book = at("book")
    run(side.bench, "csv", csv, str(size))
    run(side.bench, "csv-sqlite", typed, str(size))
    times = 5 if size <= 20000 else 1
    ours, theirs = [], []
    for _ in range(times):
        shutil.rmtree(side.book, ignore_errors=True)
        if os.path.exists(words):
            os.remove(words)
        ours.append(fresh_import(side.program, side.book, csv))
        theirs.append(sqlite_import(words, typed))
    spent = statistics.median(each[0] for each in ours)
    bar = {20000: "<= 1.5x, 0.8x", 1000000: "<= 1.0x, 0.5x"}.get(size, "")
    table.add("import by the command, words too", size, spent, statistics.median(each[0] for each in theirs), "s", bar)
    table.add("peak memory of that import", size, ours[-1][1], theirs[-1][1], "MiB", "<= 400 MiB")
    again = run(side.program, "--book", side.book, "import", csv)[1]
    table.add("import of the same file again, beside its first", size, again, spent, "s", "<= 1.0x, 0.3x")
    megabyte = 1 << 20
    table.add("size on disk, words too", size, size_of(side.book) / megabyte, size_of(words) / megabyte, "MiB", "<= 0.6x, 0.4x")
    in_process(side, size, words, table)
    whole_books(side, size, folder, csv, table)
    look_ups(side, size, folder, words, table)


def on_server(side, size, server, table):
    """A look-up of a book on a server over loopback, beside the folder and `psql`."""
    name, role = f"bench_{size}", server.split("@")[0]
    psql = lambda database: [PSQL, "--no-psqlrc", "--quiet", "--set", "ON_ERROR_STOP=1", f"postgres://{server}/{database}"]
    run(*psql("postgres"), "-c", f"create database {name}")
    run(*psql(name), input=run(side.program, "book", "tables", role)[0])
    url = f"postgres://{server}/{name}"
    spent = run(side.program, "book", "copy", side.book, url)[1]
    table.add("copy of the book to a server over loopback", size, spent, None, "s", "")
    thread = "row->'fastener'->>'thread'"
    run(*psql(name), "-c", f"create index on clampbook.fasteners (({thread}))")
    select = psql(name) + ["-c", f"select row from clampbook.fasteners where {thread} = '{RARE}'"]
    assert run(*select)[0].count(RARE) == 10, "both look the same ten up"
    spent = alternate({
        "server": [side.program, "--book", url, "find", RARE],
        "folder": [side.program, "--book", side.book, "find", RARE],
        "psql": select,
    }, 60)
    table.add("look-up of one thread over loopback, beside psql", size, spent["server"], spent["psql"], "ms", "<= 1.0x")
    table.add("the same, beside a book in a folder", size, spent["server"], spent["folder"], "ms", "")
    run(*psql("postgres"), "-c", f"drop database {name} with (force)")


class Side:
    """A program, its yardstick, and the book in hand."""

    def __init__(self, program, bench):
        self.program, self.bench, self.book = program, bench, None


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--sizes", default="500,20000,1000000")
    options.add_argument("--folder", help="where the data go; needs 4 GB at 1,000,000")
    options.add_argument("--program", help="a clampbook already built")
    options.add_argument("--bench", help="the yardstick already built")
    options.add_argument("--server", help="USER@HOST:PORT of a PostgreSQL server whose owner that is; --program then has the feature")
    options = options.parse_args()
    bench, program = options.bench, options.program
    if not (bench and program):
        built = build()
        bench, program = built[0], program or built[1]
    folder = options.folder or tempfile.mkdtemp(prefix="clampbook-bench-")
    os.makedirs(folder, exist_ok=True)
    # A copy, as `cargo install` makes one: what a linker has just written starts slower.
    program = shutil.copy(program, os.path.join(folder, "clampbook"))
    table = Table()
    try:
        for size in map(int, options.sizes.split(",")):
            side = Side(program, bench)
            measure(size, folder, side, table)
            if options.server:
                on_server(side, size, options.server, table)
        binary = size_of(program) / (1 << 20)
        table.add("the program, stripped", 0, binary, None, "MiB", "<= 12, 8 MiB")
    finally:
        if not options.folder:
            shutil.rmtree(folder)
    table.print()


if __name__ == "__main__":
    main()
