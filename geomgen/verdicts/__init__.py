"""Measured against target: pass, fail, warn, not measured."""
