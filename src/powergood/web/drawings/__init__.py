"""Drawings made on the server as SVG: plain coordinates here, ink and colour in the style sheet."""
