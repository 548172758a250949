#!/usr/bin/python3
"""Makes fixtures/casebooks and fixtures/bad_casebooks: one casebook as the program makes it, on small pages, and what somebody
else could send instead. Usage: make_casebooks.py SCRAPETRACE. Beside each bad one stands what the program must say."""
import pathlib
import shutil
import sqlite3
import subprocess
import sys
import tempfile

TOP = pathlib.Path(__file__).resolve().parents[2]
GOOD, BAD = TOP / "fixtures/casebooks", TOP / "fixtures/bad_casebooks"


def honest(binary, path):
    for unit, note in (("W-17", "opened"), ("W-18", "opened"), ("W-17", "closed")):
        subprocess.run([binary, "case", "add", "--book", path, "--unit", unit, "--who", "Ona", "--at", "2025-03-01T14:05:09Z",
                        "--note", note], check=True, capture_output=True)


def changed(source, path, sql, keep_triggers=True):
    """A copy with `sql` done to it behind the program's back."""
    shutil.copy(source, path)
    book = sqlite3.connect(path, isolation_level=None)
    triggers = book.execute("select name, sql from sqlite_master where type = 'trigger'").fetchall()
    for name, _ in triggers:
        book.execute(f"drop trigger {name}")
    book.executescript(sql)
    for _, text in triggers if keep_triggers else []:
        book.execute(text)
    book.execute("vacuum")
    book.close()


def small(source, path):
    shutil.copy(source, path)
    book = sqlite3.connect(path, isolation_level=None)
    book.execute("pragma page_size = 512")
    book.execute("vacuum")
    book.close()


def utf16(source, path):
    """The same tables and records, held as UTF-16."""
    with sqlite3.connect(source) as old:
        script = "\n".join(line for line in old.iterdump() if "sqlite_sequence" not in line)
    book = sqlite3.connect(path, isolation_level=None)
    book.executescript("pragma page_size = 512; pragma encoding = 'UTF-16'; pragma application_id = 1396921936;"
                       "pragma user_version = 1;" + script)
    book.close()


BOOKS = {
    "all_deleted": ("delete from record", "broken at record 1: records were cut off the end"),
    "last_deleted": ("delete from record where number = 3", "broken at record 3: records were cut off the end"),
    "no_sequence": ("delete from sqlite_sequence", "broken at record 3: the book counts fewer records than it holds"),
    "largest_number": ("update record set number = 9223372036854775807 where number = 3", "broken at record 3: a record is missing here"),
    "another_words": ("update record set summary = 'all is well' where number = 2", "broken at record 2: its contents are not those that were written"),
    "as_number": ("update record set hash = 17 where number = 3", "broken at record 3: its contents are not those that were written"),
    "swallowing_trigger": ("create trigger quiet before insert on record begin select raise(ignore); end", "holds what this program never makes: \"trigger quiet\""),
    "endless_view": ("alter table record rename to kept; create view record as with recursive n(x) as (select 1 union all select x + 1 from n) "
                     "select x as number, '' as unit, '' as kind, '' as at, '' as who, '' as tool_version, '' as layout, '' as layout_sha256, "
                     "'' as head, '' as side, '' as surface, '' as outcome, '' as summary, '' as body, '' as picture, '' as previous, "
                     "'' as hash from n", "has another index record_of_unit than this program makes"),
    "another_column": ("alter table record add column more text", "has another table record than this program makes"),
    "statistics": ("analyze", "holds what this program never makes: \"table sqlite_stat1\""),
    "write_ahead": ("pragma journal_mode = wal", "is kept with a write-ahead log"),
    "another_version": ("pragma user_version = 2", "is no casebook of this program's"),
    "another_application": ("pragma application_id = 7", "is no casebook of this program's"),
}


def main():
    for folder in (GOOD, BAD):
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
    with tempfile.TemporaryDirectory() as scratch:
        made = pathlib.Path(scratch) / "made.sqlite"
        honest(sys.argv[1], made)
        good = GOOD / "three_records.sqlite"
        small(made, good)
        for name, (sql, expected) in BOOKS.items():
            changed(good, BAD / f"{name}.sqlite", sql, keep_triggers=name != "endless_view")
            (BAD / f"{name}.expected").write_text(expected + "\n")
        changed(good, BAD / "without_triggers.sqlite", "", keep_triggers=False)
        (BAD / "without_triggers.expected").write_text("lacks the trigger record_is_kept\n")
        utf16(good, BAD / "utf16.sqlite")
        (BAD / "utf16.expected").write_text("does not hold its text as UTF-8\n")
        data = good.read_bytes()
        (BAD / "cut.sqlite").write_bytes(data[:len(data) // 2])
        (BAD / "cut.expected").write_text("malformed\n")
        (BAD / "text.sqlite").write_text("a casebook, honestly\n")
        (BAD / "text.expected").write_text("is no casebook of this program's\n")


main()
