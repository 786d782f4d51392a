"""Shapes as the kernel has them: faces, loose boxes, points on surfaces and edges, bytes."""
