"""Exact solids: volume, box, inside or outside, distance; cut and joined, each proved."""
