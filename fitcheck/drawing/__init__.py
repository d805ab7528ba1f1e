"""Drawings: SVG as text, true to scale, for page, file and print. Nothing here decides; it draws what a report says."""
