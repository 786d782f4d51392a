"""Bodies through lines and sections: surfaces, skins at a distance, closed to solids."""
