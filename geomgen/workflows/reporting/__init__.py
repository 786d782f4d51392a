"""What `report` does: the page, its files, its 3D view."""
