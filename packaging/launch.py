"""Set up what is missing, then open Pennyspeed or run its tests.

    python3 packaging/launch.py           open the window
    python3 packaging/launch.py test      run the whole test suite

Anything else goes to Pennyspeed's own command line: ``python3 packaging/launch.py predict FILE``.

Needs Python 3.11 or later and nothing else: it makes `.venv` in the checkout, installs the locked
packages there (every one checked against its hash), and, on a Debian-like system, the shared
libraries that Qt opens: by itself when root, otherwise it prints the line to type.
"""

import os
import sys

if sys.version_info < (3, 11):  # noqa: UP036 - older Pythons are met here, and told so
    sys.exit("Pennyspeed needs Python 3.11 or later; this is " + sys.version.split()[0] + ".")

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
VENV = os.path.join(ROOT, ".venv")
WINDOWS = os.name == "nt"
PYTHON = (
    os.path.join(VENV, "Scripts", "python.exe") if WINDOWS else os.path.join(VENV, "bin/python")
)
READY = os.path.join(VENV, "pennyspeed-ready")

# Debian's package for each library that Qt opens; without one Qt stops with a message that tells a
# person nothing. Names as in Debian 12; later releases provide them under these names too.
QT_LIBRARIES = {
    "libglib-2.0.so.0": "libglib2.0-0",
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libfontconfig.so.1": "libfontconfig1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libxkbcommon.so.0": "libxkbcommon0",
}
SCREEN_LIBRARIES = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
FONTS = "fonts-dejavu-core"


def main(arguments):
    """Set up for what `arguments` ask, then become it; the process ends with its exit code."""
    testing = arguments[:1] == ["test"]
    locked = os.path.join(ROOT, "packaging", "locked-test.txt" if testing else "locked.txt")
    wanted = fingerprint(locked)
    if wanted not in ready():
        set_up(locked, wanted)
    command = ["-m", "pytest", *arguments[1:]] if testing else ["-m", "pennyspeed", *arguments]
    if testing:
        os.chdir(ROOT)
    if arguments == ["test"]:
        run_all_but_benches()
        command += ["-m", "bench"]
    become([PYTHON, *command])


def run_all_but_benches():
    """Run the suite on every core; the benches come later, with the machine to themselves."""
    import subprocess

    parallel = ["-n", "auto", "--dist", "loadfile", "-m", "not bench"]
    result = subprocess.run([PYTHON, "-m", "pytest", *parallel], check=False)
    if result.returncode:
        sys.exit(result.returncode)


def fingerprint(locked):
    """Return what marks a `.venv` as set up for this list, this Python and this place."""
    import zlib

    with open(locked, "rb") as file:
        content = file.read()
    name = os.path.basename(locked)
    return f"{name} {zlib.crc32(content):08x} {sys.version.split()[0]} {ROOT}"


def ready():
    """Return the marks of what `.venv` is set up for."""
    if not os.path.exists(PYTHON):
        return []  # the Python that it was made with is gone
    try:
        with open(READY, encoding="utf-8") as file:
            return file.read().splitlines()
    except OSError:
        return []


def set_up(locked, wanted):
    """Make the environment, install the locked packages, look for Qt's libraries."""
    import subprocess

    def run(*command):
        result = subprocess.run(command, check=False)
        if result.returncode:
            sys.exit(f"Setting up stopped: '{' '.join(command)}' failed; its message stands above.")

    say("Setting up Pennyspeed; this happens once.")
    system_packages(missing_packages())
    short = fingerprint(os.path.join(ROOT, "packaging", "locked.txt"))
    if not any(mark.split()[2:] == wanted.split()[2:] for mark in ready()):
        run(sys.executable, "-m", "venv", "--clear", VENV)
    else:
        # What was set up for other lists, or is cut short now, must not pass for ready later.
        with open(READY, "w", encoding="utf-8") as file:
            file.write(f"begun - {' '.join(wanted.split(' ')[2:])}\n")
    quiet = ("--quiet", "--disable-pip-version-check", "--no-input")
    run(PYTHON, "-m", "pip", "install", *quiet, "--require-hashes", "-r", locked)
    pure = subprocess.run(
        [PYTHON, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
        check=True,
        capture_output=True,
        text=True,
    ).stdout.strip()
    with open(os.path.join(pure, "pennyspeed.pth"), "w", encoding="utf-8") as file:
        file.write(os.path.join(ROOT, "app") + "\n")
    # The list with the tests holds all of the shorter one.
    with open(READY, "w", encoding="utf-8") as file:
        file.write("\n".join(sorted({wanted, short})) + "\n")
    say("Ready.")


def missing_packages():
    """Return the Debian packages that this system lacks; none on other systems."""
    if sys.platform != "linux":
        return []
    import ctypes
    import glob
    import importlib.util

    missing = []
    if importlib.util.find_spec("ensurepip") is None:
        missing.append("python3-venv")
    for library, package in (QT_LIBRARIES | SCREEN_LIBRARIES).items():
        try:
            ctypes.CDLL(library)
        except OSError:
            missing.append(package)
    if not glob.glob("/usr/share/fonts/*/*/*") and not glob.glob("/usr/share/fonts/*/*.?tf"):
        missing.append(FONTS)
    return missing


def system_packages(missing):
    """Install Debian packages when root, or say what to type and stop."""
    import shutil
    import subprocess

    if not missing:
        return
    names = " ".join(missing)
    if shutil.which("apt-get") is None:
        say(f"Qt may miss system libraries here; Debian calls them: {names}")
        return
    if os.geteuid() != 0:
        sys.exit(
            f"Some system libraries are missing. Type this line, then start again:\n"
            f"  sudo apt-get install --no-install-recommends {names}"
        )
    say(f"Installing system libraries: {names}")
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (
        ["apt-get", "update", "-qq"],
        ["apt-get", "install", "-qq", "-y", "--no-install-recommends", *missing],
    ):
        if subprocess.run(
            command, check=False, env=environment, stdout=subprocess.DEVNULL
        ).returncode:
            sys.exit(f"'{' '.join(command)}' failed; its message stands above.")


def become(command):
    """Run `command` in place of this process."""
    if WINDOWS:
        import subprocess

        sys.exit(subprocess.run(command, check=False).returncode)
    sys.stdout.flush()
    os.execv(command[0], command)


def say(text):
    """Tell the person on standard error; standard output belongs to answers."""
    print(text, file=sys.stderr, flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
