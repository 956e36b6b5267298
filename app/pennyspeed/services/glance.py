"""A file at a glance, for the first frame; imports nothing heavy."""

from pennyspeed.storage.glance import Glance, glance
from pennyspeed.storage.place import default_path as usual_path
from pennyspeed.storage.rows import BuildEntry

__all__ = ["BuildEntry", "Glance", "glance", "usual_path"]
