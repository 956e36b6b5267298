"""Figures worked out for the parts of a file: which parts teach, what is filled in, what helps."""
