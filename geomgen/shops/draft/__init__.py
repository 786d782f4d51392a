"""Draft and undercut of moulded bodies, measured and drawn."""
