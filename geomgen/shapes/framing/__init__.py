"""The structure inside the pod: frames across it, stringers along its skin."""
