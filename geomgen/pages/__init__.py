"""Pages for people: the cut / don't-cut sheet, the parts list."""
