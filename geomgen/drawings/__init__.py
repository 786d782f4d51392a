"""Plain flat drawings in millimetres: outlines of lines and arcs, and texts, on layers."""
