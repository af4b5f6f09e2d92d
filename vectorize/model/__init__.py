"""The model typeface, a font file or a specimen picture, read into the same letters."""
