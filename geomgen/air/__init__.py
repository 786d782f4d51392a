"""The air outside: what flows about the aircraft, by theory."""
