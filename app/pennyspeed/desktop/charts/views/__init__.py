"""One module for each chart."""
