"""Plain flat drawings in millimetres: outlines of lines and arcs, texts, dimensions, tables."""
