"""Models and sets of files to disk: one writer a format, the proof of it, the manifest."""
