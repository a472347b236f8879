#!/usr/bin/env python3
"""Freezes what a program prints, and compares two such records.

    run.py record PROGRAM OUT [--root TREE] [--files FOLDER]
    run.py compare A B [--group WORDS] [--lines N]

`record` asks PROGRAM what cases.py lists, on books of its own, with the clock, the
width and the environment fixed, and writes a line of JSON for each case; OUT may end
in .gz. TREE is the tree whose questions and data are used, by default this one: two
programs are compared on the cases of one tree. FOLDER holds further files to import.
`compare` says what differs, gathered by what changed. It ends with 1 if anything does.
Needs Python 3.9 and nothing else.
"""

import argparse
import difflib
import gzip
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import cases

HERE = Path(__file__).resolve().parents[2]


class Bench:
    """A folder with a filled book, and a program to ask."""

    def __init__(self, program, root, home):
        self.program, self.root, self.home = program.resolve(), root.resolve(), home
        self.links = home / "bin"
        self.links.mkdir()
        (self.links / "clampbook").symlink_to(self.program)

    def ask(self, line, folder, form=None, width=80):
        """What `line` prints in `folder` and its exit code."""
        line = line.replace("$ROOT", str(self.root))
        if "clampbook" not in line.split("|")[-1].split():
            line = f"clampbook {line}"
        if form and " -- " in line:
            line = line.replace(" -- ", f" --format {form} -- ", 1)
        elif form:
            line += f" --format {form}"
        env = {
            "PATH": f"{self.links}:{os.environ['PATH']}", "HOME": str(folder), "USER": "bench",
            "XDG_DATA_HOME": str(folder / "data"), "COLUMNS": str(width), "TZ": "UTC",
            "LANG": "C.UTF-8", "CLAMPBOOK_NOW": "2026-05-04T12:00:00Z", "CLAMPBOOK_WHO": "bench",
        }
        done = subprocess.run(["sh", "-c", line], cwd=folder, env=env, stdin=subprocess.DEVNULL,
                              capture_output=True, timeout=120, check=False)
        return {"code": done.returncode, "out": self.plain(done.stdout, folder),
                "err": self.plain(done.stderr, folder)}

    def plain(self, text, folder):
        """The text without the names of folders that each run makes anew."""
        text = text.decode("utf-8", "replace")
        return text.replace(str(folder), "HOME").replace(str(self.root), "ROOT")

    def fill(self, folder):
        """A book with the demo shop and its bench."""
        folder.mkdir()
        before, _ = cases.sixty(self.root)
        for line in ["import $ROOT/seed-data/demo.csv", *cases.BENCH, *before]:
            done = self.ask(line, folder)
            if done["code"] != 0:
                sys.exit(f"the book cannot be filled: {line}\n{done['err']}")


def record(args):
    """Asks every case and writes what came."""
    files = sorted(path for path in args.files.iterdir()
                   if path.suffix in (".csv", ".tsv", ".json", ".xlsx", ".ods")
                   and not path.name.endswith(".expect.json")) if args.files else []
    listed = list(cases.cases(args.root.resolve(), files))
    with tempfile.TemporaryDirectory() as home:
        home = Path(home)
        bench = Bench(args.program, args.root, home)
        filled = home / "filled"
        bench.fill(filled)
        stories = defaultdict(list)
        for number, case in enumerate(listed):
            stories[case[1] or f"case {number}"].append((number, case))

        def run(item):
            (name, story), folder = item, filled
            if not name.startswith("case "):
                folder = home / re.sub(r"\W+", "-", name)
                shutil.copytree(filled, folder)
            return [(number, bench.ask(line, folder, form, width))
                    for number, (_, _, form, width, line) in story]

        with ThreadPoolExecutor(args.jobs) as pool:
            answers = dict(pair for part in pool.map(run, stories.items()) for pair in part)
    with opened(args.out, "wt") as out:
        for number, (group, story, form, width, line) in enumerate(listed):
            name = " · ".join(filter(None, [story, form, str(width), line]))
            case = {"group": group, "case": name.replace(str(args.root.resolve()), "ROOT")}
            out.write(json.dumps({**case, **answers[number]}, ensure_ascii=False) + "\n")
    print(f"{len(listed)} cases of {args.program} in {args.out}")


def opened(path, mode):
    """A record, packed if its name says so."""
    return gzip.open(path, mode, encoding="utf-8") if path.suffix == ".gz" \
        else path.open(mode, encoding="utf-8")


def read(path):
    """The cases of a record; a line that a story says twice counts on."""
    seen, found = Counter(), {}
    with opened(path, "rt") as lines:
        for line in lines:
            case = json.loads(re.sub(r'(took_us\\":)\d+', r"\g<1>0", line))
            seen[case["case"]] += 1
            found[case["case"], seen[case["case"]]] = case
    return found


def changed(old, new):
    """The lines that differ between two answers."""
    lines = [] if old["code"] == new["code"] else [f"-exit {old['code']}", f"+exit {new['code']}"]
    for stream in ("out", "err"):
        diff = difflib.unified_diff(old[stream].splitlines(), new[stream].splitlines(),
                                    lineterm="", n=0)
        lines += [line for line in diff if not line.startswith(("---", "+++", "@@"))]
    return lines or ["(ends of lines)"]


def compare(args):
    """Says what differs, the same change of many cases once."""
    old, new = read(args.a), read(args.b)
    alike, clumps = Counter(), defaultdict(list)
    for key in {**old, **new}:
        a, b = old.get(key), new.get(key)
        group = (a or b)["group"]
        if args.group and args.group not in group:
            continue
        if a == b:
            alike[group] += 1
        elif a is None or b is None:
            clumps[group, ("only in A" if a else "only in B",)].append((key[0], []))
        else:
            lines = changed(a, b)
            mark = tuple(sorted({re.sub(r"[\d.,/]+|\s+|[-─]{2,}", " ", line) for line in lines}))
            clumps[group, mark].append((key[0], lines))
    total = Counter()
    for (group, mark), found in sorted(clumps.items(), key=lambda item: (item[0][0], -len(item[1]))):
        total[group] += len(found)
        case, lines = min(found, key=lambda item: len(item[1]))
        print(f"\n## {group}: {len(found)} case(s), such as\n   {case}")
        print("\n".join("   " + line[:200] for line in (lines or mark)[:args.lines]))
    print("\ngroup                     alike  differ")
    for group in sorted({*alike, *total}):
        print(f"{group:24} {alike[group]:6} {total[group]:7}")
    return 1 if total else 0


def main():
    """Reads the arguments."""
    parser = argparse.ArgumentParser(description=__doc__,
                                     formatter_class=argparse.RawDescriptionHelpFormatter)
    verbs = parser.add_subparsers(required=True)
    verb = verbs.add_parser("record")
    verb.add_argument("program", type=Path)
    verb.add_argument("out", type=Path)
    verb.add_argument("--root", type=Path, default=HERE)
    verb.add_argument("--files", type=Path)
    verb.add_argument("--jobs", type=int, default=2)
    verb.set_defaults(run=record)
    verb = verbs.add_parser("compare")
    verb.add_argument("a", type=Path)
    verb.add_argument("b", type=Path)
    verb.add_argument("--group")
    verb.add_argument("--lines", type=int, default=14)
    verb.set_defaults(run=compare)
    args = parser.parse_args()
    sys.exit(args.run(args))


if __name__ == "__main__":
    main()
