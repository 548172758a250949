"""A run of a program: how it ended, and what it took of the processor and of memory."""
import os
import pathlib
import resource
import signal
import subprocess

ROUNDS = 10  # a program that only looks now and then whether it may go on hangs, too


def family(pid):
    """A process and all that descend from it."""
    out = [pid]
    try:
        for child in pathlib.Path(f"/proc/{pid}/task/{pid}/children").read_text().split():
            out += family(int(child))
    except OSError:
        pass  # it ended meanwhile
    return out


def processor_ns(pid):
    """Of a process and all that descend from it, all their threads together."""
    total = 0
    for member in family(pid):
        for file in pathlib.Path(f"/proc/{member}/task").glob("*/schedstat"):
            try:
                total += int(file.read_text().split()[0])
            except OSError:
                pass  # it ended meanwhile
    return total


class Child(subprocess.Popen):
    """Keeps what it used. Popen waits in one place only, and not with wait4(), which alone tells of one child."""
    used = None

    def _try_wait(self, wait_flags):
        pid, status, used = os.wait4(self.pid, wait_flags)
        if pid == self.pid:
            self.used = used
        return pid, status


def ended(child, given, seconds):
    """Output and complaint, or None if it stands still. A busy machine may make it slow on the clock, so the clock alone
    tells nothing: it must have used no processor time meanwhile."""
    before = -1
    for _ in range(ROUNDS):
        try:
            return child.communicate(given, timeout=6 * seconds)
        except subprocess.TimeoutExpired:
            now = processor_ns(child.pid)
            if now == before:
                break
            before = now
    return None


def run(words, seconds, preexec_fn=None, input=None, **options):
    """Status (None: it hangs), output, complaint, usage. A hang is more than `seconds` of processor time, six times that on
    the clock without using any, or sixty times that on the clock."""
    def prepare():
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        if preexec_fn is not None:
            preexec_fn()

    with Child(words, stdin=None if input is None else subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
               preexec_fn=prepare, **options) as child:
        said = ended(child, input, seconds)
        if said is None:
            child.kill()
            child.communicate()
    if said is None or child.returncode == -signal.SIGXCPU:
        return None, b"", b"hangs", child.used
    return child.returncode, *said, child.used
