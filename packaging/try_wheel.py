"""Build the wheel, install it into an environment of its own, and start what it installs.

Run by the continuous checks with the test environment's Python. Everything happens in a temporary
folder; the checkout is not on the path of what is started.
"""

import json
import os
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent

PAINT_AND_CLOSE = """
import os
import sys
import traceback
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from pennyspeed.desktop import app
from pennyspeed.desktop.window import Window

qt = QApplication(sys.argv[:1])

def stop(*error):
    # Qt would go on after an error in a slot, and never find what it looks for.
    traceback.print_exception(*error)
    os._exit(1)

sys.excepthook = stop

def look():
    window = next((one for one in qt.topLevelWidgets() if isinstance(one, Window)), None)
    if window is None or not window.isVisible() or not window.session.file.is_open:
        return
    timer.stop()
    shot = window.grab()
    assert shot.width() > 800, f"the window is {shot.width()} pixels wide"
    image = shot.toImage()
    across, down = range(0, shot.width(), 7), range(0, shot.height(), 7)
    colours = {image.pixel(x, y) for x in across for y in down}
    assert len(colours) > 20, f"the window shows {len(colours)} colours"
    window.close()
    qt.quit()

timer = QTimer()
timer.timeout.connect(look)
timer.start(100)
sys.exit(app.run(None))
"""


def main() -> None:
    """Stop with the first thing that fails."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        say("building the wheel")
        run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", place, ROOT)
        (wheel,) = place.glob("*.whl")
        say(f"installing {wheel.name}, {wheel.stat().st_size / 1e6:.1f} MB")
        venv.create(place / "venv", with_pip=True)
        scripts = place / "venv" / ("Scripts" if os.name == "nt" else "bin")
        pip = (scripts / "python", "-m", "pip", "install", "--quiet")
        run(*pip, "--require-hashes", "-r", ROOT / "packaging" / "locked.txt")
        run(*pip, "--no-deps", wheel)

        environment = {
            **os.environ,
            "QT_QPA_PLATFORM": "offscreen",
            "HOME": str(place),
            "XDG_DATA_HOME": str(place / "data"),
            "XDG_CONFIG_HOME": str(place / "config"),
        }
        environment.pop("PYTHONPATH", None)
        started = {"cwd": place, "env": environment}
        say("asking the command line for the demo's speed")
        printed = subprocess.run(
            [scripts / "pennyspeed", "predict", "Club car 130", "--json"],
            check=True,
            capture_output=True,
            text=True,
            **started,
        ).stdout
        answer = json.loads(printed)
        assert 80 < answer["road_speed_kmh"] < 180, answer["road_speed_kmh"]
        say(f"it does {answer['road_speed_kmh']:.1f} km/h; opening the window")
        subprocess.run(
            [scripts / "python", "-c", PAINT_AND_CLOSE], check=True, timeout=120, **started
        )
        say("the window opened, painted and closed")


def run(*command: object) -> None:
    """Run a command and stop where it fails."""
    subprocess.run([str(word) for word in command], check=True)


def say(text: str) -> None:
    """Print one line at once."""
    print(f"wheel: {text}", flush=True)


if __name__ == "__main__":
    main()
