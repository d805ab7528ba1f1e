"""The pages of what is kept: wardrobe, swatch book, size tables, people."""
