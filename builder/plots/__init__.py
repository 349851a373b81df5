"""Plots: whatever has axes, drawn by matplotlib as SVG that follows the colours of the page."""
