#!/usr/bin/env python3
"""Hostile files through the program, each with its seconds of work and peak memory.

    tests/bench/hostile.py PROGRAM [--folder DIR] [--only WORD]

Each must end within a second and 200 MiB, or be refused within them; seconds of the
processor, so that a busy machine does not count. Needs GNU time (Debian: time). Prints one table; ends with 1 if a file misses.
"""
import argparse
import os
import subprocess
import sys
import tempfile
import zipfile

SECONDS, MEBIBYTES = 1.0, 200
HEAD = "assembly,joint,part,thread,torque,lube,notes\n"
ROW = "Quill,main,cap,M10x1.5,60 N.m,oil,\n"
PARTS = {
    "[Content_Types].xml": '<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="xml" ContentType="application/xml"/>'
    '<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/>'
    '<Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>'
    '<Override PartName="/xl/sharedStrings.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"/></Types>',
    "_rels/.rels": '<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>',
    "xl/workbook.xml": '<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
    'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets></workbook>',
    "xl/_rels/workbook.xml.rels": '<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/>'
    '<Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/sharedStrings" Target="sharedStrings.xml"/></Relationships>',
}


def workbook(path, rows, strings=(), more=()):
    """A workbook of these rows in XML, shared strings and further parts."""
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as out:
        for name, text in PARTS.items():
            out.writestr(name, text)
        shared = "".join(f"<si><t>{text}</t></si>" for text in strings)
        out.writestr("xl/sharedStrings.xml", f'<?xml version="1.0"?><sst xmlns="{main}">{shared}</sst>')
        with out.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as sheet:
            sheet.write(f'<?xml version="1.0"?><worksheet xmlns="{main}"><sheetData>'.encode())
            for row in rows:
                sheet.write(row.encode())
            sheet.write(b"</sheetData></worksheet>")
        for name, data in more:
            out.writestr(name, data)


def letters(number):
    name = ""
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(65 + rest) + name
    return name


def inline(place, text):
    return f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c>'


def heading():
    names = HEAD.strip().split(",")
    return '<row r="1">' + "".join(inline(f"{letters(at + 1)}1", name) for at, name in enumerate(names)) + "</row>"


def shared_strings(path):
    """One text of 32 kB that 540,000 cells are."""
    rows = [heading()] + ["<row>" + '<c t="s"><v>0</v></c>' * 1000 + "</row>"] * 540
    workbook(path, rows, ["x" * 32_000])


def many_short_strings(path):
    """Texts of 4 kB that pack well, each meant by a hundred cells."""
    cells = "".join(f'<c t="s"><v>{at}</v></c>' for at in range(500))
    workbook(path, [heading()] + [f"<row>{cells}</row>"] * 100, [f"{at} " + "y" * 4_000 for at in range(500)])


def packed_cells(path):
    """Inline texts, 250 to one."""
    workbook(path, [heading()] + ["<row>" + '<c t="inlineStr"><is><t>' + "z" * 30_000 + "</t></is></c></row>"] * 260)


def far_cell(place):
    return lambda path: workbook(path, [heading(), f'<row r="2">{inline(place, "70 N.m")}</row>'])


def sparse_cells(path):
    """The four corners of what a sheet may have, and a diagonal."""
    rows = [heading()] + [f'<row r="{at * 64}">{inline(f"{letters(at)}{at * 64}", "1")}</row>' for at in range(1, 16_384, 3)]
    workbook(path, rows)


def bomb(path):
    """Four gigabytes of blanks."""
    workbook(path, ("<row>" + " " * 1_000_000 + "</row>" for _ in range(4_000)))


def many_parts(path):
    workbook(path, [heading()], more=((f"xl/media/{at}", b"") for at in range(60_000)))


def deep_xml(path):
    workbook(path, [heading(), "<row>" + "<c>" * 1_000_000 + "</row>"])


def repeats(path):
    """An OpenDocument sheet of one cell, repeated over all of it."""
    names = 'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" ' \
        'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0"'
    cell = '<table:table-cell table:number-columns-repeated="16384" office:value-type="string"><text:p>oil</text:p></table:table-cell>'
    text = f'<?xml version="1.0"?><office:document-content {names}><office:body><office:spreadsheet><table:table table:name="S">' \
        f'<table:table-row table:number-rows-repeated="1048576">{cell}</table:table-row></table:table></office:spreadsheet></office:body></office:document-content>'
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        out.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        out.writestr("content.xml", text)


def text(*pieces):
    def make(path):
        with open(path, "w", encoding="utf-8") as out:
            for piece in pieces:
                out.write(piece)
    return make


def cells(column, each):
    """A sheet with `each` in one column, a row each."""
    at = HEAD.strip().split(",").index(column)
    rows = []
    for number, cell in enumerate(each):
        row = ROW.strip().split(",")
        row[2] = f"cap {number}"
        row[at] = '"' + cell.replace('"', '""') + '"'
        rows.append(",".join(row) + "\n")
    return text(HEAD, *rows)


LONG = 60_000  # what a cell may just hold
IMPORT = ["import", "{}", "--dry-run"]
MAPPED = ["import", "plain.csv", "--map", "{}", "--dry-run"]
FILES = [
    ("workbook, 540,000 cells of one text of 32 kB", "a.xlsx", shared_strings, IMPORT),
    ("workbook, 50,000 cells of 500 texts of 4 kB", "b.xlsx", many_short_strings, IMPORT),
    ("workbook, texts packed 250 to one", "c.xlsx", packed_cells, IMPORT),
    ("workbook, cell ZZZZZZ4294967295", "d.xlsx", far_cell("ZZZZZZ4294967295"), IMPORT),
    ("workbook, cell XFD1048576", "e.xlsx", far_cell("XFD1048576"), IMPORT),
    ("workbook, 5,461 cells on a diagonal", "f.xlsx", sparse_cells, IMPORT),
    ("workbook of 4 GB of blanks", "g.xlsx", bomb, IMPORT),
    ("workbook of 60,000 parts", "h.xlsx", many_parts, IMPORT),
    ("workbook, XML nested a million deep", "i.xlsx", deep_xml, IMPORT),
    ("OpenDocument, one cell repeated 17 billion times", "j.ods", repeats, IMPORT),
    ("JSON nested 40,000 deep", "a.json", text("[" * 40_000), IMPORT),
    ("JSON nested 5 million deep", "b.json", text('[{"a":' * 2_500_000), IMPORT),
    ("JSON, a number of a million digits", "c.json", text('[{"assembly":"Q","torque":' + "1" * 1_000_000 + "}]"), IMPORT),
    ("JSON, a row of 200,000 keys", "d.json", text('[{"k0":1' + "".join(f',"k{at}":1' for at in range(1, 200_000)) + "}]"), IMPORT),
    ("JSON, 20,000 rows, each of other keys", "e.json", text("[" + ",".join(f'{{"a{at}":1}}' for at in range(20_000)) + "]"), IMPORT),
    ("JSON, a million empty rows", "f.json", text("[" + "{}," * 999_999 + "{}]"), IMPORT),
    ("JSON, a text of 10 MB", "g.json", text('[{"assembly":"' + "x" * 10_000_000 + '"}]'), IMPORT),
    ("CSV, a torque of 1 MB of digits", "a.csv", cells("torque", ["1" * 1_000_000]), IMPORT),
    ("CSV, a million columns", "b.csv", text("a," * 1_000_000 + "\n" + "1," * 1_000_000 + "\n"), IMPORT),
    ("CSV, 10,000 columns of 1,000 rows", "c.csv", text(*(["x," * 10_000 + "\n"] * 1_000)), IMPORT),
    ("CSV, a cell of 10 MB", "d.csv", cells("notes", ["x" * 10_000_000]), IMPORT),
    ("CSV, a quote that never ends, 60 MB", "e.csv", text(HEAD, '"', "x\n" * 30_000_000), IMPORT),
    ("CSV, 10 million empty lines", "f.csv", text(HEAD, "\n" * 10_000_000, ROW), IMPORT),
    ("CSV, 50 MB of zero bytes", "g.csv", text("\0" * 50_000_000), IMPORT),
    ("CSV, torques of 60 kB of digits, 20 rows", "h.csv", cells("torque", ["1" * LONG] * 20), IMPORT),
    ("CSV, torques of 60 kB of `70-`, 20 rows", "i.csv", cells("torque", ["70-" * (LONG // 3)] * 20), IMPORT),
    ("CSV, torques of 60 kB of brackets, 20 rows", "j.csv", cells("torque", ["(" * LONG] * 20), IMPORT),
    ("CSV, torques of 60 kB of blanks and a unit, 20 rows", "k.csv", cells("torque", ["70" + " " * LONG + "N.m"] * 20), IMPORT),
    ("CSV, threads of 60 kB of digits, 20 rows", "l.csv", cells("thread", ["M" + "1" * LONG] * 20), IMPORT),
    ("CSV, threads of 60 kB of `1/2-`, 20 rows", "m.csv", cells("thread", ["1/2-" * (LONG // 4)] * 20), IMPORT),
    ("CSV, lubes of 60 kB of words, 20 rows", "n.csv", cells("lube", ["oil and " * (LONG // 8)] * 20), IMPORT),
    ("CSV, parts of 60 kB of words, 20 rows", "o.csv", cells("part", ["cap bolt " * (LONG // 9)] * 20), IMPORT),
    ("CSV, notes of 60 kB of figures, 20 rows", "o2.csv", cells("notes", ["70 N.m, " * (LONG // 8)] * 20), IMPORT),
    ("CSV, 20 rows of 60 kB in every column", "o3.csv", text(HEAD, *((",".join(["oil 70 N.m M10 " * (LONG // 15)] * 7) + "\n") for _ in range(20))), IMPORT),
    ("CSV, a heading of 60 kB", "p.csv", text("torque " * (LONG // 7), ",thread\n60,M10\n"), IMPORT),
    ("CSV, 2,000 headings that are alike", "q.csv", text(",".join(f"torque {at} lb-ft" for at in range(2_000)), "\n", "7," * 2_000, "\n"), IMPORT),
    ("mapping nested 100,000 deep", "a.toml", text("a = " + "[" * 100_000), MAPPED),
    ("mapping, a key of 1 MB of points", "b.toml", text("a." * 500_000 + "b = 1\n"), MAPPED),
    ("mapping of 100,000 tables", "c.toml", text("".join(f"[columns.t{at}]\n" for at in range(100_000))), MAPPED),
    ("mapping, a number of 1 MB", "d.toml", text("[file]\nlube = " + "1" * 1_000_000 + "\n"), MAPPED),
    ("mapping, 10 MB of no TOML", "e.toml", text("x" * 10_000_000), MAPPED),
    ("question of 1 MB of brackets", "a.txt", text("(" * 1_000_000 + "\n"), None),
    ("question of 1 MB of words", "b.txt", text("head or " * 125_000 + "\n"), None),
    ("question of 1 MB of digits", "c.txt", text("torque over " + "1" * 1_000_000 + " N.m\n"), None),
    ("question of 8 kB of `not`", "d.txt", text("not " * 2_000 + "head\n"), None),
    ("question of 8 kB of sums", "e.txt", text("torque over " + "1 N.m + " * 900 + "1 N.m\n"), None),
    ("5,000 questions of one bracket", "f.txt", text("(\n" * 5_000), None),
    ("backup nested a million deep", "a.jsonl", text('{"clampbook_backup":' + "[" * 1_000_000), ["book", "restore", "{}", "--yes"]),
    ("backup, one line of 300 MB", "b.jsonl", text("x" * 300_000_000), ["book", "restore", "{}", "--yes"]),
    ("layout of 1 million holes", "a.holes", text("hole,x mm,y mm\n", *(f"{at},{at},0\n" for at in range(1_000_000))), ["add", "layout", "L", "file={}"]),
]


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("program")
    options.add_argument("--folder")
    options.add_argument("--only", default="")
    options = options.parse_args()
    folder = options.folder or tempfile.mkdtemp(prefix="clampbook-hostile-")
    os.makedirs(folder, exist_ok=True)
    program, missed = os.path.abspath(options.program), 0
    book = ["--book", os.path.join(folder, "book")]
    subprocess.run([program, *book, "import", "--dry-run", "-"], input=HEAD + ROW, text=True, cwd=folder, capture_output=True)
    text(HEAD, ROW)(os.path.join(folder, "plain.csv"))
    subprocess.run([program, *book, "import", "plain.csv"], cwd=folder, check=True, capture_output=True)
    print("| file | its size | seconds | MiB | ends with | what is said |\n| --- | ---: | ---: | ---: | ---: | --- |")
    for what, name, make, words in FILES:
        if options.only not in what:
            continue
        path = os.path.join(folder, name)
        make(path)
        size = os.path.getsize(path)
        command = [program, *book, *(word.format(name) for word in words or [])]
        told = os.path.join(folder, "told")
        with open(path if words is None else os.devnull, "rb") as given:
            # The limit ends the program itself, not only what measures it.
            limited = ["timeout", "--signal=KILL", "60", *command]
            done = subprocess.run(["/usr/bin/time", "-f", "%U %S %M", "-o", told, *limited], stdin=given,
                                  capture_output=True, cwd=folder)
            code, said = done.returncode, (done.stderr or done.stdout).decode(errors="replace").strip()
            user, system, peak = open(told).read().split("\n")[-2].split()
            spent, peak = float(user) + float(system), int(peak) / 1024
        os.remove(path)
        said = said.replace("\n", " ")
        said = said if len(said) < 110 else said[:110] + "…"
        is_missed = spent > SECONDS or not peak <= MEBIBYTES or code not in (0, 1, 2, 3, 4)
        missed += is_missed
        mark = " MISSED" if is_missed else ""
        print(f"| {what} | {size:,} | {spent:.2f} | {peak:.0f} | {code}{mark} | {said.replace('|', ' ')} |", flush=True)
    print(f"{missed} missed")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
