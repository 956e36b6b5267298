"""``python -m pennyspeed``."""

from pennyspeed.cli import main

main()
