"""An SSH server on the loopback with its own host key, user key and port, as the user who starts it."""
import getpass
import os
import pathlib
import subprocess

from place import program, wait_until
from slurm import free_ports

CONFIGURATION = """Port {port}
ListenAddress 127.0.0.1
HostKey {folder}/host_key
PidFile {folder}/sshd.pid
AuthorizedKeysFile {folder}/authorized
PasswordAuthentication no
KbdInteractiveAuthentication no
UsePAM no
StrictModes no
LogLevel VERBOSE
MaxStartups 50
"""

CLIENT = """Host loopback
  HostName 127.0.0.1
  Port {port}
  User {user}
  IdentityFile {folder}/user_key
  IdentitiesOnly yes
  UserKnownHostsFile {folder}/known_hosts
  StrictHostKeyChecking yes
  BatchMode yes
"""


class Server:
    def __init__(self, folder):
        self.folder = folder
        folder.mkdir(mode=0o700)
        self.port = free_ports(1)[0]
        for key in ("host_key", "user_key"):
            subprocess.run([program("ssh-keygen"), "-q", "-t", "ed25519", "-N", "", "-f", folder / key], check=True)
        (folder / "authorized").write_text((folder / "user_key.pub").read_text())
        (folder / "known_hosts").write_text(f"[127.0.0.1]:{self.port} {(folder / 'host_key.pub').read_text()}")
        (folder / "sshd_config").write_text(CONFIGURATION.format(port=self.port, folder=folder))
        (folder / "client").write_text(CLIENT.format(port=self.port, folder=folder, user=getpass.getuser()))

    def __enter__(self):
        if os.getuid() == 0:
            pathlib.Path("/run/sshd").mkdir(mode=0o755, exist_ok=True)  # sshd insists on it
        self.daemon = subprocess.Popen([program("sshd"), "-D", "-f", self.folder / "sshd_config", "-E", self.log()],
                                       stdin=subprocess.DEVNULL)
        wait_until(lambda: "listening" in self.log_text(), 30, "sshd", [self.log()])
        return self

    def __exit__(self, *_):
        self.daemon.terminate()
        self.daemon.wait(20)

    def log(self):
        return self.folder / "sshd.log"

    def log_text(self):
        return self.log().read_text() if self.log().exists() else ""

    def logins(self):
        return self.log_text().count("Accepted publickey")

    def name(self):
        return "loopback"

    def shell(self, command):
        """With a client that knows this server and its keys, whatever the user's own settings are."""
        environment = {**os.environ, "HOME": str(self.folder), "PARALLEL_SSH": f"ssh -F {self.folder}/client"}
        return subprocess.run(["sh", "-c", command], capture_output=True, text=True, env=environment)
