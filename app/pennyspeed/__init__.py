"""Pennyspeed: which parts reach the target speed inside the cap, and how sure is that."""

__version__ = "0.1.0"
