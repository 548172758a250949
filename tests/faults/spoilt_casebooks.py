"""A casebook spoilt in many ways, by chance and by somebody who knows SQLite, through the program: is any of it called whole that
is not, is anything added to it, does it hang, crash or take the memory."""
import json
import random
import resource
import shutil
import sqlite3

from tool import TOP, spoilt

GOOD = TOP / "fixtures/casebooks/three_records.sqlite"
BAD = TOP / "fixtures/bad_casebooks"
MOST_MEMORY = 500 << 20
PAGE = 512

# What somebody can do with SQLite's own tools. {n}: a number, {c}: a column, {t}: a text.
COLUMNS = ["unit", "kind", "at", "who", "tool_version", "layout", "layout_sha256", "head", "side", "surface", "outcome", "summary",
           "body", "picture", "previous", "hash"]
DEEDS = [
    "update record set {c} = '{t}' where number = {n}",
    "update record set {c} = x'00ff' where number = {n}",
    "update record set {c} = {n} where number = {n}",
    "update record set {c} = zeroblob({n} * 3000000) where number = {n}",
    "delete from record where number >= {n}",
    "delete from record where number = {n}",
    "update record set number = {n} * 4611686018427387904 - 1 where number = {n}",
    "update sqlite_sequence set seq = {n} * 4611686018427387904 - 1",
    "update sqlite_sequence set seq = '{t}'",
    "delete from sqlite_sequence",
    "insert into sqlite_sequence values ('record', {n})",
    "insert into record select number + 3, " + ", ".join(COLUMNS) + " from record where number = {n}",
    "create table more (x)",
    "create view more as with recursive n(x) as (select 1 union all select x + 1 from n) select x from n",
    "create trigger more before insert on record begin select raise(ignore); end",
    "create trigger more after insert on record begin update sqlite_sequence set seq = {n}; end",
    "drop index record_of_unit",
    "alter table record rename column {c} to other",
    "pragma journal_mode = wal",
    "pragma user_version = {n}",
    "pragma writable_schema = on; update sqlite_schema set sql = replace(sql, '{c}', '{t}')",
    "pragma writable_schema = on; update sqlite_schema set rootpage = {n}",
    "pragma writable_schema = on; update sqlite_schema set sql = sql || ' '",
    "pragma page_size = 65536; vacuum",
    "pragma auto_vacuum = 1; vacuum",
]


def by_hand(draw, path):
    """One or two deeds, with the triggers put back as they were."""
    book = sqlite3.connect(path, isolation_level=None)
    try:
        triggers = book.execute("select name, sql from sqlite_master where type = 'trigger'").fetchall()
        for name, _ in triggers:
            book.execute(f"drop trigger {name}")
        for deed in draw.sample(DEEDS, draw.choice((1, 1, 2))):
            book.executescript(deed.format(n=draw.randint(1, 4), c=draw.choice(COLUMNS), t=draw.choice(("", "W-18", "\x1b[2J", "note"))))
        for _, text in triggers:
            book.execute(text)
    except sqlite3.Error:
        pass  # one deed undid what the next one needs
    book.close()


def by_chance(draw, path):
    """Bytes, numbers at their limits, and whole pages in each other's places."""
    data = bytearray(path.read_bytes())
    for _ in range(draw.randint(1, 6)):
        at = draw.randrange(len(data))
        kind = draw.randrange(4) if len(data) >= PAGE else 0
        if kind == 0:
            data[at] ^= 1 << draw.randrange(8)
        elif kind == 1:
            data[at:at + 4] = draw.choice((b"\xff\xff\xff\xff", b"\0\0\0\0", b"\x7f\xff\xff\xff"))
        elif kind == 2:
            one, two = (draw.randrange(len(data) // PAGE) * PAGE for _ in range(2))
            data[one:one + PAGE] = data[two:two + PAGE]
        else:
            data = bytearray(spoilt(bytes(data), draw.randrange(1000)) or b"S")
    path.write_bytes(data)


def records(text):
    return json.loads(text)["records"]


def held(faults, book, words):
    def little():
        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    return faults.run(["case", *words, "--book", book], preexec_fn=little)


def judge(faults, true, kind, number, path):
    """Every action on the spoilt book; whole is only what holds the true records and no others."""
    data = path.read_bytes()
    wrong = lambda what: faults.complain(kind, f"version {number}: {what}", data[:1 << 20])
    out = f"{path}.out"
    for words, good in ((["verify"], {0, 2, 3}), (["show"], {0, 2}), (["export"], {0, 2}), (["export", "--format", "csv"], {0, 2}),
                        (["export", "--format", "html", "--out", out, "--force"], {0, 2}),
                        (["priors", "--layout", TOP / "geometry/tavvick.toml"], {0, 2})):
        status, said, complaint = held(faults, path, words)
        if status not in good or (status == 2 and not complaint.startswith(b"scrapetrace: ")):
            return wrong(f"{words}: status {status}, {complaint[-200:]!r}")
        if words == ["verify"]:
            whole = status == 0 and said.startswith(b"Whole")
        if words == ["export"] and whole and (status != 0 or records(said) != true):
            return wrong("called whole, and its records are others")
    if path.read_bytes() != data:
        return wrong("changed by reading it")
    status, _, complaint = held(faults, path, ["add", "--unit", "W-17", "--who", "Ona", "--note", "one more"])
    if whole != (status == 0) and data:  # a file without a byte is a new book
        return wrong(f"whole: {whole}, but adding to it has the status {status}, {complaint[-200:]!r}")
    if status == 0 and not held(faults, path, ["verify"])[1].startswith(b"Whole"):
        return wrong("no longer whole once a record was added")
    return faults.count(kind, "whole, and rightly" if whole else "refused or called broken")


def casebooks(faults, total):
    true = records(held(faults, GOOD, ["export"])[1])
    books = [("casebook of the fixtures", number, None, path) for number, path in enumerate(sorted(BAD.glob("*.sqlite")))]
    for number in range(total - len(books)):
        books.append(("casebook by hand", number, by_hand, GOOD) if number % 2 else ("casebook by chance", number, by_chance, GOOD))

    def one(job):
        kind, number, deed, source = job
        folder = faults.folder / f"book-{number}-{source.stem}"
        folder.mkdir()
        path = folder / "book.sqlite"
        shutil.copy(source, path)
        if deed is not None:
            deed(random.Random(number), path)
        judge(faults, true, kind, number, path)
        shutil.rmtree(folder)

    random.Random(29).shuffle(books)
    faults.in_turn(one, books)
    print(f"{len(books)} casebooks")
