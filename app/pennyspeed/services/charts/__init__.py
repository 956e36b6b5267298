"""Charts without a screen: their curves, what is read on them, their tables and sentences."""
