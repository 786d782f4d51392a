"""What is open in a plane between solids: its area, its border, what sealant closes."""
