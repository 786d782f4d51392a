"""Hot-wire cores of the wing: templates, blanks, and their proof."""
