"""Inline: values of the build, each edited where it stands."""
