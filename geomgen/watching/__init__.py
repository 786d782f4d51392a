"""A parameter file watched: built anew at each save, its state on a live page."""
