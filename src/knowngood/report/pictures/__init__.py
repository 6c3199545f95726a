"""Pictures as SVG: the ruler, the band and the hump, and what is drawn with them."""
