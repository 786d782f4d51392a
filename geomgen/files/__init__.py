"""One writer a format, the proof of what was written, the manifest."""
