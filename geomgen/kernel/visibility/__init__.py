"""What is seen along a direction: outlines, hidden lines, shadows, what a pull meets."""
