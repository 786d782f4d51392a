"""Studies of many variants: each built and measured on worker processes, then written."""
