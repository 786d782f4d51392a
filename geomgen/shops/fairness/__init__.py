"""Fairness of the pod's lines, measured and drawn."""
