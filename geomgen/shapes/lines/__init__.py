"""Control stations of the bodies on lines, read off the records: no geometry kernel."""
