"""Rules of what stands inside the skins; read beside the others by `parameters/reading`."""
