#!/usr/bin/env python3
"""Measures clampbook beside SQLite and prints one table.

    tests/bench/run.py [--sizes 500,20000,1000000] [--folder DIR] [--program FILE]

Needs cargo, a C compiler (for the SQLite that is linked in) and the sqlite3
shell (Debian: sqlite3). Runs of both sides alternate, so that a busy machine
is unfair to neither. Data are invented and always the same.
"""
import argparse, os, shutil, statistics, subprocess, sys, tempfile, time

HERE = os.path.dirname(os.path.abspath(__file__))
RARE = "M11x1.25"  # ten settings have it, whatever the size
COLUMNS = """assembly joint part kind part_number count thread hole_thread strength length lube
method torque basis source page revision entered_by tags notes""".split()
INDEXED = "thread hole_thread torque_nm lube strength assembly joint".split()


def run(*command, **options):
    """Runs a command; returns its output, seconds and peak memory in MiB."""
    start = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, **options)
    out = process.stdout.read()
    _, status, usage = os.wait4(process.pid, 0)
    spent = time.perf_counter() - start
    if status:
        sys.exit(f"{' '.join(command)} ended with {status}")
    return out, spent, usage.ru_maxrss / 1024


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


def sqlite_import(db, csv, words):
    """.import and then the same indexes that the book has."""
    columns = ", ".join(f"{name} text" for name in COLUMNS) + ", torque_nm real"
    script = [f"create table settings({columns});", f'.import --csv "{csv}" settings']
    script += [f"create index settings_{name} on settings({name});" for name in INDEXED]
    if words:
        script += ["create virtual table words using fts5(text, content='', prefix='2 3');",
                   "insert into words(rowid, text) select rowid, "
                   "assembly || ' ' || joint || ' ' || part || ' ' || tags || ' ' || notes from settings;"]
    script = "\n".join(script)
    start = time.perf_counter()
    process = subprocess.Popen(["sqlite3", db], stdin=subprocess.PIPE, text=True)
    process.stdin.write(script)
    process.stdin.close()
    _, status, usage = os.wait4(process.pid, 0)
    if status:
        sys.exit("sqlite3 failed")
    return time.perf_counter() - start, usage.ru_maxrss / 1024


def alternate(commands, times):
    """Median milliseconds of each whole process, and its peak memory."""
    spent = {name: [] for name in commands}
    peak = {}
    for _ in range(times):
        for name, command in commands.items():
            _, seconds, memory = run(*command)
            spent[name].append(seconds * 1000)
            peak[name] = max(peak.get(name, 0), memory)
    return {name: statistics.median(each) for name, each in spent.items()}, peak


class Table:
    def __init__(self):
        self.rows = []

    def add(self, work, size, ours, theirs, unit, bar):
        share = f"{ours / theirs:.2f}x" if theirs else ""
        theirs = f"{theirs:.4g} {unit}" if theirs else "-"
        row = (work, f"{size:,}" if size else "", f"{ours:.4g} {unit}", theirs, share, bar)
        self.rows.append(row)
        print(" | ".join(row), file=sys.stderr)

    def print(self):
        print("| work | settings | clampbook | SQLite | ratio | bar, goal |")
        print("| --- | ---: | ---: | ---: | ---: | --- |")
        for row in self.rows:
            print("| " + " | ".join(row) + " |")


def measure(size, folder, bench, program, table):
    at = lambda name: os.path.join(folder, f"{name}-{size}")
    book, plain, words, csv, typed = map(at, ["book", "plain.db", "words.db", "in.csv", "sqlite.csv"])
    run(bench, "csv", csv, str(size))
    run(bench, "csv-sqlite", typed, str(size))
    run(bench, "create", book)
    out, _, peak = run(bench, "import", book, csv)
    ours = float(out.split()[0]) / 1000
    assert int(out.split()[1]) == size, out
    theirs, _ = sqlite_import(plain, typed, False)
    with_words, their_peak = sqlite_import(words, typed, True)
    table.add("import, plain indexes", size, ours, theirs, "s", "<= 1.0x, 0.6x")
    table.add("import, words too", size, ours, with_words, "s", "<= 1.0x, 0.6x")
    table.add("peak memory of the import", size, peak, their_peak, "MiB", "<= 400 MiB")
    megabyte = 1 << 20
    table.add("on disk, plain indexes", size, size_of(book) / megabyte, size_of(plain) / megabyte, "MiB", "<= 1.5x, 1.0x")
    table.add("on disk, words too", size, size_of(book) / megabyte, size_of(words) / megabyte, "MiB", "<= 1.5x, 1.0x")
    select = f"select assembly, torque, part from settings where thread = '{RARE}'"
    spent, peak = alternate({
        "program": [program, "--book", book, "find", RARE, "--format", "csv"],
        "store": [bench, "find", book, RARE],
        "shell": ["sqlite3", words, select],
        "linked": [bench, "sqlite-find", words, RARE],
        "true": ["true"],
    }, 60)
    table.add("cold look-up of a thread, whole program, against the shell", size, spent["program"], spent["shell"], "ms", "<= 1.0x, 0.6x")
    table.add("the same against SQLite linked in", size, spent["program"], spent["linked"], "ms", "goal 1.0x")
    table.add("the store alone against SQLite linked in", size, spent["store"], spent["linked"], "ms", "")
    table.add("an empty program (`true`)", size, spent["true"], None, "ms", "")
    table.add("peak memory of a cold look-up", size, peak["program"], peak["linked"], "MiB", "<= 64, 16 MiB")
    low, high = "77.7", "78.15"
    ours, ours_first, rows = map(float, run(bench, "range", book, low, high)[0].split())
    theirs, theirs_first, same = map(float, run(bench, "sqlite-range", words, low, high)[0].split())
    assert rows == same, (rows, same)
    table.add(f"indexed range, {int(rows)} rows, in process", size, ours, theirs, "ms", "<= 1.0x, 0.5x")
    table.add("the same, first time", size, ours_first, theirs_first, "ms", "")
    ours = float(run(bench, "edit", book)[0].split()[0])
    theirs = float(run(bench, "sqlite-edit", words)[0].split()[0])
    table.add("one edit, durable", size, ours, theirs, "ms", "<= 150, 50 ms at 20,000")
    for name, question, bar in [
        ("question on a derived column", "of-proof over 160%", "<= 200, 30 ms at 1,000,000"),
        ("question on a restated lube", "with moly keep of-proof over 160%", "<= 1000, 200 ms at 1,000,000"),
    ]:
        out = run(bench, "ask", book, question)[0].split()
        table.add(f"{name}, {out[2]} rows, in process", size, float(out[0]), None, "ms", bar)
    out = run(bench, "figure", book, "1.6")[0].split()
    table.add(f"fasteners by a derived figure, {out[2]} found, store alone", size, float(out[0]), None, "ms", "")
    question = "head with moly keep of-proof over 80% show part, lube, torque sort torque down first 10"
    out = run(bench, "parse", book, question)[0].split()
    table.add("parse and resolve a question", size, float(out[0]) * 1000, None, "us", "<= 50, 10 us")


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--sizes", default="500,20000,1000000")
    options.add_argument("--folder", help="where the data go; needs 4 GB at 1,000,000")
    options.add_argument("--program", help="a clampbook already built")
    options = options.parse_args()
    bench, program = build()
    folder = options.folder or tempfile.mkdtemp(prefix="clampbook-bench-")
    os.makedirs(folder, exist_ok=True)
    table = Table()
    try:
        for size in map(int, options.sizes.split(",")):
            measure(size, folder, bench, options.program or program, table)
        binary = size_of(options.program or program) / (1 << 20)
        table.add("the program, stripped", 0, binary, None, "MiB", "<= 12, 6 MiB")
    finally:
        if not options.folder:
            shutil.rmtree(folder)
    table.print()


if __name__ == "__main__":
    main()
