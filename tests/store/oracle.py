"""Prints all numbers of table t, in order of its first column, as Python's sqlite3 module reads them."""

import sqlite3
import sys

for row in sqlite3.connect(f"file:{sys.argv[1]}?mode=ro", uri=True).execute("SELECT * FROM t ORDER BY 1"):
    print(*row)
