"""Figures that shops do not give, worked out from those that they do.

:mod:`rule` says what a rule is, :mod:`rules` holds them all with their sources, :mod:`work_out`
learns them from a person's own parts and fills figures in, :mod:`estimate_words` says a figure that
was worked out, and :mod:`measuring` how a person could know it better.
"""
