"""Solve free dimensions for their targets: every state built and measured on solids."""
