"""The firewall: sheet, slits, holes, thickness."""
