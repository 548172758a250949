"""What the system knows of the files that a program is linked with: Debian packages, versions, licences."""
import os
import pathlib
import re
import subprocess

DOCUMENTS = pathlib.Path("/usr/share/doc")

# Short names of Debian's copyright format 1.0 (section 7.1 there) and of older habits, as SPDX identifiers.
SPDX = {
    "Apache-2.0": "Apache-2.0", "BSD-2-clause": "BSD-2-Clause", "BSD-3-clause": "BSD-3-Clause",
    "BSD-4-clause": "BSD-4-Clause", "BSD-3-Clause": "BSD-3-Clause", "BSL-1.0": "BSL-1.0", "CC0-1.0": "CC0-1.0",
    "curl": "curl", "Expat": "MIT", "FTL": "FTL", "GPL-2": "GPL-2.0-only", "GPL-2+": "GPL-2.0-or-later",
    "GPL-3": "GPL-3.0-only", "GPL-3+": "GPL-3.0-or-later", "GPL-3.0+": "GPL-3.0-or-later", "ISC": "ISC",
    "LGPL-2+": "LGPL-2.0-or-later", "LGPL-2.1": "LGPL-2.1-only", "LGPL-2.1+": "LGPL-2.1-or-later",
    "LGPL-3": "LGPL-3.0-only", "LGPL-3+": "LGPL-3.0-or-later", "libpng": "Libpng", "MIT": "MIT", "MPL-1.1": "MPL-1.1",
    "MPL-2": "MPL-2.0", "MPL-2.0": "MPL-2.0", "Zlib": "Zlib", "zlib": "Zlib",
}


class BillError(Exception):
    """The bill cannot be made; says why."""


def said(*words):
    ran = subprocess.run(words, capture_output=True, text=True)
    return ran.stdout


def libraries(program):
    """The shared libraries that a program is run with, as the loader finds them: name and path."""
    return dict(re.findall(r"^\s*(\S+) => (/\S+)", said("ldd", str(program)), re.M))


def with_what_is_loaded(program, loads):
    """The same, and the libraries that it loads by itself when it needs them, with all that those are linked with."""
    found = libraries(program)
    for path in loads:
        found = {path.name: str(path), **libraries(path), **found}
    return found


def needed(file):
    """The names of the libraries that a file itself asks for."""
    return re.findall(r"\(NEEDED\).*\[(.+)\]", said("readelf", "-d", str(file)))


def owners(paths):
    """The package that each of these files came with. A file that no package owns is a mistake."""
    spellings = {}
    for path in paths:
        real = os.path.realpath(path)
        for spelling in (real, str(path), real.removeprefix("/usr"), str(path).removeprefix("/usr"), "/usr" + real):
            spellings.setdefault(spelling, path)
    found = {}
    for line in said("dpkg-query", "--search", *spellings).splitlines():
        package, _, file = line.partition(": ")
        if file in spellings:
            found.setdefault(spellings[file], package.split(":")[0])
    missing = [str(path) for path in paths if path not in found]
    if missing:
        raise BillError(f"no package owns {', '.join(missing)}: say where it comes from, or use Debian's")
    return found


def packages(names):
    """Version, architecture, and source of installed packages."""
    form = "${Package}\t${Version}\t${Architecture}\t${source:Package}\t${source:Version}\n"
    out = {}
    for line in said("dpkg-query", "--show", f"--showformat={form}", *names).splitlines():
        name, version, architecture, source, source_version = line.split("\t")
        out[name] = {"version": version, "architecture": architecture, "source": f"{source} {source_version}"}
    missing = set(names) - set(out)
    if missing:
        raise BillError(f"not installed: {', '.join(sorted(missing))}")
    return out


def copyright_text(package):
    path = DOCUMENTS / package / "copyright"
    if not path.exists():
        raise BillError(f"{path} is missing: the package's licence cannot be told")
    return path.read_text(errors="replace")


def spdx_of(words):
    """An SPDX expression for what stands in a License field, or None when some of it has no identifier."""
    parts = re.split(r"\s+(and|or)\s+", words.strip())
    if any(part not in SPDX for part in parts[::2]) or len(set(parts[1::2])) > 1:
        return None
    joint = {"and": " AND ", "or": " OR "}[parts[1]] if len(parts) > 1 else ""
    return joint.join(SPDX[part] for part in parts[::2])


def declared(package):
    """The licence of most of a package's files, from its copyright file: SPDX expression or None, Debian's words."""
    for stanza in re.split(r"\n\s*\n", copyright_text(package)):
        files = re.search(r"^Files:\s*(\S+)", stanza, re.M)
        licence = re.search(r"^License:[ \t]*(\S.*)$", stanza, re.M)
        if files and licence and files[1] == "*":
            return spdx_of(licence[1]), licence[1].strip()
    return None, None
