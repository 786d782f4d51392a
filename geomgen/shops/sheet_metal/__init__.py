"""The sheet shop's part of the hand-off: the firewall's blank."""
