"""Drawings: SVG from templates, coloured by the page they stand on; lines and words are placed, nothing worked out."""
