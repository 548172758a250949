"""A batch system of one node, all of it in one folder: its own key, sockets, ports and logs, as the user who starts it."""
import getpass
import os
import secrets
import signal
import socket
import subprocess
import time

from place import program, wait_until

CONFIGURATION = """ClusterName=trial
SlurmctldHost={host}(127.0.0.1)
SlurmUser={user}
SlurmdUser={user}
AuthType=auth/munge
AuthInfo=socket={folder}/munge.socket,cred_expire=10
CryptoType=crypto/munge
SlurmctldPort={control}
SlurmdPort={node}
StateSaveLocation={folder}/state
SlurmdSpoolDir={folder}/spool
SlurmctldPidFile={folder}/slurmctld.pid
SlurmdPidFile={folder}/slurmd.pid
SlurmctldLogFile={folder}/slurmctld.log
SlurmdLogFile={folder}/slurmd.log
ProctrackType=proctrack/pgid
TaskPlugin=task/none
MpiDefault=none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
AccountingStorageType=accounting_storage/none
JobAcctGatherType=jobacct_gather/none
SwitchType=switch/none
SchedulerType=sched/builtin
MailProg=/bin/true
ReturnToService=2
JobRequeue=1
MinJobAge=300
NodeName={host} NodeAddr=127.0.0.1 CPUs={processors} State=UNKNOWN
PartitionName=all Nodes=ALL Default=YES State=UP
"""


def free_ports(number):
    sockets = [socket.socket() for _ in range(number)]
    for one in sockets:
        one.bind(("127.0.0.1", 0))
    ports = [one.getsockname()[1] for one in sockets]
    for one in sockets:
        one.close()
    return ports


class Cluster:
    def __init__(self, folder):
        self.folder = folder
        folder.mkdir(mode=0o755)
        for name in ("state", "spool"):
            (folder / name).mkdir()
        control, node = free_ports(2)
        host = socket.gethostname().split(".")[0]
        (folder / "slurm.conf").write_text(CONFIGURATION.format(host=host, user=getpass.getuser(), folder=folder, node=node,
                                                                control=control, processors=os.cpu_count()))
        self.environment = {**os.environ, "SLURM_CONF": str(folder / "slurm.conf")}
        self.daemons = []

    def __enter__(self):
        key = self.folder / "munge.key"
        key.write_bytes(secrets.token_bytes(128))
        key.chmod(0o400)
        # --force: the folder for a test may be writable for others further up.
        self.start("munged", "--foreground", "--force", f"--key-file={key}", f"--socket={self.folder}/munge.socket",
                   f"--pid-file={self.folder}/munged.pid", f"--log-file={self.folder}/munged.log",
                   f"--seed-file={self.folder}/munged.seed")
        wait_until((self.folder / "munge.socket").exists, 30, "munged", self.logs())
        self.start("slurmctld", "-D", "-f", str(self.folder / "slurm.conf"))
        self.start("slurmd", "-D", "-f", str(self.folder / "slurm.conf"))
        wait_until(lambda: "idle" in self.said("sinfo", "--noheader", "--format=%T"), 90, "the node is not idle", self.logs())
        return self

    def __exit__(self, *_):
        for daemon in reversed(self.daemons):
            daemon.send_signal(signal.SIGTERM)
        for daemon in reversed(self.daemons):
            try:
                daemon.wait(20)
            except subprocess.TimeoutExpired:
                daemon.kill()
                daemon.wait()

    def logs(self):
        return [self.folder / f"{name}.log" for name in ("munged", "slurmctld", "slurmd", "started")]

    def start(self, name, *words):
        with (self.folder / "started.log").open("ab") as log:
            self.daemons.append(subprocess.Popen([program(name), *words], env=self.environment, stdout=log, stderr=log,
                                                 stdin=subprocess.DEVNULL))

    def said(self, *words):
        return subprocess.run([program(words[0]), *words[1:]], env=self.environment, capture_output=True, text=True).stdout

    def shell(self, command, **more):
        return subprocess.run(["sh", "-c", command], env={**self.environment, **more}, capture_output=True, text=True)

    def states(self, job):
        """The states of a job's tasks."""
        lines = self.said("squeue", "--noheader", "--array", "--states=all", f"--jobs={job}", "--format=%T").split()
        return [line for line in lines if line]

    def wait_for(self, job, seconds):
        open_states = {"PENDING", "RUNNING", "COMPLETING", "CONFIGURING", "REQUEUED", "SUSPENDED"}
        wait_until(lambda: not open_states & set(self.states(job)), seconds, f"job {job}: {self.states(job)}", self.logs())
        time.sleep(0.2)
        return self.states(job)
