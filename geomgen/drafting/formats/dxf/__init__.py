"""DXF: written, read back, compared."""
