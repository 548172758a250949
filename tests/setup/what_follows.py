"""What the installation of some packages brings along: by the machine's own record of installed packages, of which all
must be there. Ends with an error when one of them is a server, or has itself started at boot. Usage: what_follows.py LIST"""
import pathlib
import re
import subprocess
import sys

SERVERS = {"openssh-server", "slurmd", "slurmctld", "munge", "dbus", "chromium"}
# What any Debian has; x11-common makes the folders of sockets in /tmp on machines without systemd.
HARMLESS = {"dpkg", "procps", "x11-common"}


def installed():
    """Name to the names that each of its dependencies may be, and name to packages that provide it."""
    form = "${Package}\t${db:Status-Status}\t${Pre-Depends}, ${Depends}\t${Provides}\n"
    lines = subprocess.run(["dpkg-query", "-W", "-f", form], capture_output=True, text=True, check=True).stdout.splitlines()
    needs, givers = {}, {}
    names = lambda text: [name for name in re.sub(r"\([^)]*\)|:\w+", "", text).replace(",", " ").split() if name != "|"]
    for line in lines:
        package, status, depends, provides = line.split("\t")
        if status == "installed":
            needs[package] = [names(one) for one in depends.split(",")]
            for name in [package, *names(provides)]:
                givers.setdefault(name, []).append(package)
    return needs, givers


def starts_at_boot(package):
    files = subprocess.run(["dpkg-query", "-L", package], capture_output=True, text=True, check=True).stdout.splitlines()
    units = [file for file in files if re.search(r"/systemd/(system|user)/[^/]+\.(service|socket|timer)$", file)]
    return any("/etc/init.d/" in file for file in files) or any(
        "[Install]" in pathlib.Path(unit).read_text() for unit in units if pathlib.Path(unit).is_file())


needs, givers = installed()
asked = pathlib.Path(sys.argv[1]).read_text().split()
missing = [name for name in asked if name not in givers]
if not asked or missing:
    sys.exit(f"what_follows: not installed here: {missing or 'nothing was asked for'}")
met, todo = set(), list(asked)
while todo:
    for package in givers.get(todo.pop(), []):
        if package not in met:
            met.add(package)
            todo += [name for choice in needs[package] for name in choice]
if served := sorted(SERVERS & met):
    sys.exit(f"what_follows: the demo brings {served}")
if started := sorted(package for package in met - HARMLESS if starts_at_boot(package)):
    sys.exit(f"what_follows: the demo has these started at boot: {started}")
print(f"the demo's set-up: {len(asked)} packages named, at most {len(met)} in all, none started at boot")
