"""What a cataloguer would otherwise write: exact look-up of office and letter in the exported table.

It knows the mark of an office only by the very words below, and a letter only where it is called
the date letter. It knows no other word, no slip of the pen, no wear and no doubt, no standard, no
duty or import mark, no year whose letter is not known, and takes capitals and lettering as typed.
"""

import csv
import re
import sqlite3
import sys
import time

TOWNS = {
    "anchor": "birmingham",
    "castle": "edinburgh",
    "leopard's head": "london",
    "crowned harp": "dublin",
    "York rose": "sheffield",
    "wheatsheaves": "chester",
}
LETTER = re.compile(r"date letter (?:(capital|small) )?(?:[a-z -]+ )?([A-Za-z])(?:;|$)")


def main(table, catalogue):
    db = sqlite3.connect(":memory:")
    db.execute("create table letters (office, year, letter)")
    with open(table, newline="", encoding="utf-8") as f:
        rows = csv.DictReader(f, delimiter="\t")
        db.executemany(
            "insert into letters values (?, ?, ?)",
            ((r["office"], r["year"], r["letter"]) for r in rows),
        )
    db.execute("create index by_letter on letters (office, letter)")
    start, read, found = time.time(), 0, 0
    with open(catalogue, newline="", encoding="utf-8") as f:
        for row in csv.DictReader(f):
            read += 1
            marks = row["Hallmarks"]
            letter = LETTER.search(marks)
            office = next((o for words, o in TOWNS.items() if words in marks), None)
            years = []
            if office and letter:
                years = db.execute(
                    "select year from letters where office = ? and letter = ?",
                    (office, letter.group(2)),
                ).fetchall()
            row["years"] = "|".join(str(y[0]) for y in years)
            found += bool(years)
    took = time.time() - start
    print(f"a script of Python's csv and sqlite3: {read / took:.0f} rows/s, years for {100 * found / read:.0f} % of rows")


main(sys.argv[1], sys.argv[2])
